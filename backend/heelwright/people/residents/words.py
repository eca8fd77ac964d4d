"""What is wrong with a line, in words, and what to do about it."""

PROBLEMS: dict[str, tuple[str, str]] = {
    "quote_open": ("A quotation mark is never closed.", "Close it, or take it out."),
    "quote_odd": ("A quotation mark stands in the middle of a cell.", "Take it out."),
    "cells_too_many": (
        "The line has more cells than there are columns.",
        "Look for a comma inside a cell, and put that cell in quotation marks.",
    ),
    "cells_too_few": (
        "The line has fewer cells than there are columns.",
        "Look for a cell that was left out, or a line that was broken in two.",
    ),
    "missing_field": ("This is empty.", "Fill it in."),
    "no_name": ("There is no letter in this name.", "Check that the name is in its column."),
    "too_long": ("This is too long.", "Shorten it."),
    "odd_character": ("There is a character in it that can't be kept.", "Type it again."),
    "character_lost": (
        "A letter was lost when the file was saved.",
        "Type it again, and save the list as CSV in UTF-8.",
    ),
    "a_formula": ("This is a formula, or the error of one.", "Put the value itself there."),
    "email_odd": ("This is no e-mail address.", "It looks like name@place.org. Or leave it empty."),
    "phone_odd": ("This is no phone number.", "Write one number, or leave it empty."),
    "not_yes_or_no": ("This is neither yes nor no.", "Write yes or no, or leave it empty."),
    "date_unreadable": ("This is not a date.", "Write it as 1941-03-31."),
    "date_short_year": (
        "The year has two digits, and nobody can say which hundred years.",
        "Write the year with four digits.",
    ),
    "date_a_number": (
        "This is a number, and no date.",
        "Make the column one of dates in the spreadsheet, and save the list again.",
    ),
    "date_not_there": ("There is no such day.", "Check day and month."),
    "date_other_order": (
        "Day and month stand the other way round than in the rest of the file.",
        "Write it as 1941-03-31.",
    ),
    "date_too_late": ("This date of birth lies ahead.", "Check the year."),
    "date_too_early": ("This date of birth is too long ago.", "Check the year."),
    "there_twice": (
        "The same name and date of birth stand on two lines.",
        "Take out the line that is not right.",
    ),
}

"""The rulebook: questions, rules and limits as data, and the engine that judges by them."""

from heelwright.rulebook.answers import DONT_KNOW
from heelwright.rulebook.book import Book, book_for, load_book, overlays
from heelwright.rulebook.errors import BookError, InvalidAnswers, Problem
from heelwright.rulebook.judge import FiredRule, Judgement, OpenRule, Referral
from heelwright.rulebook.limits import MergedLimits
from heelwright.rulebook.schema import OUTCOMES

__all__ = [
    "DONT_KNOW",
    "OUTCOMES",
    "Book",
    "BookError",
    "FiredRule",
    "InvalidAnswers",
    "Judgement",
    "MergedLimits",
    "OpenRule",
    "Problem",
    "Referral",
    "book_for",
    "load_book",
    "overlays",
]

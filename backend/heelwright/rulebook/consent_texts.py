"""The texts that are signed: which one is current for a purpose, and where the words of each are.

The newest version of a text has its words under `consent.<id>`, an older one under
`consent.<id>.v<version>`. Every version stays in the book: a signature is read by its own words.
"""

import hashlib

from heelwright.rulebook.schema import ConsentText, Content


def current_texts(content: Content) -> list[ConsentText]:
    return [text for text in content.consent_texts if text.current]


def words_key(content: Content, text: ConsentText) -> str:
    newest = max(one.version for one in content.consent_texts if one.id == text.id)
    key = f"consent.{text.id}"
    return key if text.version == newest else f"{key}.v{text.version}"


def title_key(text: ConsentText) -> str:
    return f"consent_title.{text.id}"


def words_of(content: Content, id_: str, version: int, language: str) -> str | None:
    """The words of one version in one language, or None where the book does not have them."""
    for text in content.consent_texts:
        if (text.id, text.version) == (id_, version):
            return content.words.get(language, {}).get(words_key(content, text))
    return None


def shown_as(content: Content, id_: str, version: int, language: str) -> tuple[str, str] | None:
    """Title and words of one version in one language, or None."""
    words = words_of(content, id_, version, language)
    title = content.words.get(language, {}).get(f"consent_title.{id_}")
    return None if words is None or title is None else (title, words)


def hash_of(content: Content, id_: str, version: int, language: str) -> str | None:
    """SHA-256, in hex, of the words of one version in one language in UTF-8, or None."""
    words = words_of(content, id_, version, language)
    return None if words is None else hashlib.sha256(words.encode()).hexdigest()


def signable(content: Content) -> frozenset[tuple[str, str]]:
    """Every version in every language: its id and the hash of its words."""
    return frozenset(
        (text.id, hashed)
        for text in content.consent_texts
        for language in content.words
        if (hashed := hash_of(content, text.id, text.version, language)) is not None
    )


def purpose_of(content: Content, id_: str) -> str | None:
    """What a text is for; None where no version of it is in the book."""
    return next((text.purpose for text in content.consent_texts if text.id == id_), None)

"""What people type about clients lies readable nowhere on the server: database, dump, log, errors.

Marker words stand in every free-text field of every command, then all bytes are searched for them
in several encodings. That the fields are all there is checked against the commands' own schema;
that the search finds what is there, by planting it. No published source: the design's principle.
"""

import gzip
from collections.abc import Iterator
from pathlib import Path

import pytest

from heelwright.commandlog import registry
from heelwright.ids import new_id
from tests.services.postgres import Postgres
from tests.services.served import ServedApp
from tests.system.database import change
from tests.system.device import Reply, ask
from tests.system.home_visit import HomeVisit
from tests.system.marked_practice import BORN, CLEAR, SHOWN, STROKE, Marked, mark_everything
from tests.system.markers import (
    CLEAR_STEM,
    STEM,
    Markers,
    forms,
    found_in,
    found_in_files,
    text_fields,
)


@pytest.fixture(scope="module")
def marked(served_api: ServedApp) -> Marked:
    return mark_everything(served_api)


@pytest.fixture(scope="module")
def errors(served_api: ServedApp, marked: Marked) -> list[Reply]:
    return [*bad_bodies(marked), *bad_arguments(marked), *trouble_inside(served_api, marked)]


def bad_bodies(marked: Marked) -> Iterator[Reply]:
    """Whole requests that can't be understood."""
    owner, word = marked.owner, Markers()["bad"]
    device, command = str(owner.id), owner.command("register_client", name=word)
    owner.last_seq -= 1
    for body in (
        f"{{ not json {word}".encode(),
        f'"{word}"'.encode(),
        f'{{"device": "{device}", "commands": [], "{word} x": 1}}'.encode(),
        f'{{"device": "{device}", "commands": NaN, "n": "{word}"}}'.encode(),
        b"\xff\xfe" + word.encode("utf-16-le"),
        gzip.compress(word.encode()),
        {"device": word, "commands": []},
        {"device": device, "commands": word},
        {"device": device, "commands": [word]},
        # A `rulebook` that is no version is let in and not kept; `name` is refused below.
        *(
            {"device": device, "commands": [command | {part: word}]}
            for part in command.keys() - {"rulebook", "name"}
        ),
        {"device": device, "commands": [command | {"args": {"name": "\ud800" + word}}]},
    ):
        yield owner.ask("POST", "/api/push", body)
    yield owner.ask("POST", "/api/pull", {"protocol": 2, "device": device, "cursor": word})
    for path in (f"/api/{word}", f"/api/documents/{word}/{new_id()}", f"/{word}?name={word}"):
        yield owner.ask("GET", path)
    yield ask(owner.base_url, "GET", "/api/rulebook", headers={"Authorization": f"Bearer {word}"})
    for path in ("open", "done"):
        body = {"token": word, "phone": word, "said": word, word: 1}
        yield ask(owner.base_url, "POST", f"/api/sign/{path}", body)
    login = {"email": f"{word}@there.test", "password": word}
    yield ask(owner.base_url, "POST", "/_allauth/app/v1/auth/login", login)


def bad_arguments(marked: Marked) -> Iterator[Reply]:
    """Commands that are refused, and kept with everything that was typed."""
    owner, day, word = marked.owner, HomeVisit(marked.owner.staff), Markers()["bad"]
    for name, args in (
        (f"{word}_client", day.card(note=word)),
        ("register_client", day.card(name={"inside": word})),
        ("register_client", day.card(born=word)),
        ("register_client", day.card(born="1900-01-01", note=word)),
        ("register_client", day.card(email=word)),
        ("register_client", day.card(note=word * 500)),
        ("register_client", day.card(note=f"{word}\x00")),
        ("register_client", day.card(note=f"{word}\ud83e")),
        ("register_client", {"client": word, "name": word}),
        ("register_client", day.card(**{f"For {word}": word})),
        ("amend_client", {"client": marked.day.client, "seen": 0, "changes": {f"{word} ": 1}}),
        ("record_screen", marked.day.screened(answers={"diabetes": word}, screen=new_id())),
        ("record_screen", marked.day.screened(answers={f"The {word}": [[word]]})),
        ("sign_consent", marked.day.signed(strokes=[], signer_name=word)),
        ("complete_visit", marked.day.completed(stop_signs=[{"sign": word}])),
        ("record_referral_answer", {"referral": new_id(), "clinician": word}),
        ("mark_entered_in_error", {"what": word, "row": new_id(), "reason": word}),
    ):
        yield owner.push(owner.command(name, **args))
    held = marked.day.started(visit=new_id())
    yield owner.push(owner.command("start_visit", **held))


def trouble_inside(app: ServedApp, marked: Marked) -> Iterator[Reply]:
    """The database fails under a command full of markers; later the same command goes through."""
    owner, word = marked.owner, Markers()["bad"]
    command = owner.command("register_client", **HomeVisit(owner.staff).card(note=word))
    change(app, "ALTER TABLE people_client RENAME TO people_client_away")
    failed = owner.push(command)
    change(app, "ALTER TABLE people_client_away RENAME TO people_client")
    assert failed.status == 503 and failed.body["code"] == "server_trouble"
    assert owner.push(command).body["results"][0]["status"] == "applied"
    yield failed


def test_every_free_text_field_of_every_command_was_marked(marked: Marked) -> None:
    commands = registry.commands()
    expected = {path for name, spec in commands.items() for path in text_fields(name, spec.args)}
    assert marked.words.planted | marked.clear.planted == expected
    assert marked.clear.planted == CLEAR
    assert marked.sent == set(commands)


def test_what_was_typed_comes_back_to_those_who_may_see_it(marked: Marked) -> None:
    rows = str(marked.owner.pull())
    assert STEM in rows and BORN in rows


def test_errors_are_typed_and_quote_nothing(errors: list[Reply]) -> None:
    statuses = [reply.status for reply in errors]
    assert len(errors) == 41
    assert statuses.count(503) == 1, [r for r in errors if r.status >= 500]
    for reply in errors:
        assert not found_in(reply.raw), reply
    refusals = [r for reply in errors if reply.status == 200 for r in reply.body["results"]]
    assert len(refusals) >= 18
    for refusal in (*(r["refusal"] for r in refusals), *problems(errors)):
        assert refusal["code"] and refusal["text"] and refusal["remedy"], refusal


def problems(errors: list[Reply]) -> list[dict[str, str]]:
    """The bodies of our own API's errors; the sign-in library and the app's pages have others."""
    return [reply.body for reply in errors if reply.status >= 400 and b'"remedy"' in reply.raw]


def test_the_log_holds_the_trouble_and_no_marker(
    served_api: ServedApp, errors: list[Reply]
) -> None:
    assert "unexpected error" in served_api.log
    assert not found_in(served_api.log_file.read_bytes())


def test_neither_the_database_nor_anything_beside_it_holds_a_marker(
    served_api: ServedApp, marked: Marked, errors: list[Reply], postgres: Postgres
) -> None:
    for folder in places(served_api, postgres):
        assert not found_in_files(folder)
        assert not found_in_files(folder, BORN)
        assert not found_in_files(folder, str(STROKE))
        assert not found_in_files(folder, SHOWN)
        # The search looks at the real thing: what may lie in the clear is found there.
        assert found_in_files(folder, CLEAR_STEM)


def test_the_search_finds_a_planted_marker(
    served_api: ServedApp, marked: Marked, errors: list[Reply], postgres: Postgres, tmp_path: Path
) -> None:
    for name, form in forms(STEM).items():
        (tmp_path / name).write_bytes(b"\x00" * 5000 + form + b"\xff")
        assert found_in_files(tmp_path)[name] >= {name}
    change(served_api, "CREATE TABLE scratch (plain text, wide text)")
    wide = STEM.encode("utf-16-le").hex()
    change(served_api, f"INSERT INTO scratch VALUES ('{STEM}', '{wide}')")
    assert all(found_in_files(folder) for folder in places(served_api, postgres))
    change(served_api, "DROP TABLE scratch")


def places(app: ServedApp, postgres: Postgres) -> Iterator[Path]:
    """Folders with all that the server wrote, and with what a copy of its database holds."""
    if app.database_url.startswith("sqlite"):
        assert (app.folder / "heelwright.sqlite3-wal").stat().st_size > 0
        yield app.folder
        return
    dumped = app.folder / "dump"
    dumped.mkdir(exist_ok=True)
    (dumped / "dump.sql").write_bytes(postgres.dump(app.database_url.rpartition("/")[2]))
    yield dumped
    yield postgres.home / "data"

"""The lock files agree with what asks for them, and the checks of `tools` see when they do not."""

import json

from tests.house.faults import ROOT
from tools import audit, check_locks

PROJECT = """
[build-system]
requires = ["setuptools>=77"]
[project]
dependencies = ["Django>=5.2,<5.3"]
[project.optional-dependencies]
dev = ["types_PyYAML"]
"""
LOCK = """# a comment
django==5.2.19 \\
    --hash=sha256:aa
setuptools==80.0 ; python_version >= '3.11' \\
    --hash=sha256:bb
    # via heelwright
types-pyyaml==6.0 \\
    --hash=sha256:cc
"""


def test_the_locks_of_the_project_agree() -> None:
    project, lock = (ROOT / "pyproject.toml").read_text(), (ROOT / "requirements.txt").read_text()
    assert list(check_locks.python_faults(project, lock)) == []
    for folder in check_locks.NPM_FOLDERS:
        assert list(check_locks.npm_faults(*check_locks.read_npm(folder))) == []


def test_no_lock_holds_an_address() -> None:
    for path in ROOT.glob("requirements*.txt"):
        text = path.read_text()
        assert "://" not in text, path
        assert "--index-url" not in text, path
        assert "--find-links" not in text, path


def test_a_missing_pin_a_wrong_pin_and_a_pin_without_hash_are_found() -> None:
    assert list(check_locks.python_faults(PROJECT, LOCK)) == []
    for broken in (
        LOCK.replace("django==5.2.19", "flask==1"),
        LOCK.replace("django==5.2.19", "django==6.0"),
        LOCK.replace("--hash=sha256:aa", ""),
    ):
        assert len(list(check_locks.python_faults(PROJECT, broken))) == 1


def test_a_package_lock_that_differs_or_lacks_a_hash_is_found() -> None:
    package = json.dumps({"dependencies": {"a": "1"}})
    entry = {"version": "1", "integrity": "sha512-x"}
    good = {"packages": {"": {"dependencies": {"a": "1"}}, "node_modules/a": entry}}
    assert list(check_locks.npm_faults(package, json.dumps(good))) == []
    other = {"packages": {"": {"dependencies": {"a": "2"}}, "node_modules/a": entry}}
    assert len(list(check_locks.npm_faults(package, json.dumps(other)))) == 1
    unhashed = {"packages": {"": {"dependencies": {"a": "1"}}, "node_modules/a": {"version": "1"}}}
    assert len(list(check_locks.npm_faults(package, json.dumps(unhashed)))) == 1


def test_an_audit_that_looked_nothing_up_is_never_called_clean() -> None:
    unknown = {"dependencies": [{"name": "a", "skip_reason": "not found"}]}
    found = audit.read_pip_audit(json.dumps(unknown))
    assert found == audit.Audit(0, ())
    assert "SKIPPED" in audit.summary("Python", found)
    assert "SKIPPED" in audit.summary("Python", audit.read_pip_audit(""))
    assert "SKIPPED" in audit.summary("npm", audit.read_npm_audit('{"message": "405"}'))


def test_an_audit_reads_what_was_found() -> None:
    pip = {"dependencies": [{"name": "a", "version": "1", "vulns": [{"id": "PYSEC-1"}]}]}
    assert audit.read_pip_audit(json.dumps(pip)) == audit.Audit(1, ("a 1: PYSEC-1",))
    npm = {
        "vulnerabilities": {"b": {"severity": "high"}},
        "metadata": {"dependencies": {"total": 9}},
    }
    found = audit.read_npm_audit(json.dumps(npm))
    assert found == audit.Audit(9, ("b: high",))
    assert "9 looked up, 1 with advisories" in audit.summary("npm", found)

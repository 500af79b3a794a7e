"""Rules of the house: who imports whom, how long a module may be, what lies at the top."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

from transposary.problems import REMARKS
from transposary.reference import reference

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "plugin" / "transposary"
MODULES = sorted(PACKAGE.rglob("*.py"))

# Lower layers never import higher ones; rooms of one layer do not import each other.
LAYERS = (
    ("cache", "problems", "processes", "progress", "repeats", "replacing"),
    ("pitch",),
    ("passage",),
    ("notes", "song", "settings", "stretches", "watching"),
    ("glossary",),
    ("theory",),
    ("configuration", "reading", "repertoire", "engraving", "practice"),
    ("check",),
    ("importing", "recall"),
    # Capture reads takes, writes entries and checks what it wrote, as `applying` does.
    ("applying", "capture", "site"),
    ("build",),
    ("exchange",),
    ("cli",),
    ("plugin",),
    # What is written about all of it, from the code.
    ("reference",),
)
LEVEL = {room: level for level, rooms in enumerate(LAYERS) for room in rooms}

# Which library may be imported where; these libraries are closed to every other room.
DOORS = {
    "mkdocs": ("plugin/",),
    "verovio": ("engraving/",),
    "music21": ("reading/score.py", "reading/score/"),
    "markdown": ("site/foreign.py",),
    # MkDocs leaves files out by it.
    "pathspec": ("site/linked.py",),
    "pydantic": ("reading/schema",),
    "rjsmin": ("site/static.py",),
    "mido": ("engraving/midi.py", "capture/midi.py", "capture/recording.py"),
}


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.module is not None, f"{path} imports relatively"
            found.add(node.module)
            if node.module == "transposary":
                found.update(f"transposary.{alias.name}" for alias in node.names)
    return found


def _room(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_down_the_layers(path: Path) -> None:
    """A module imports only its own room and lower layers."""
    room = _room(path)
    if room == "__init__":
        return
    for name in _imports(path):
        parts = name.split(".")
        if parts[0] == "transposary" and len(parts) > 1 and not parts[1].startswith("__"):
            other = parts[1]
            assert other == room or LEVEL[other] < LEVEL[room], f"{room} imports {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_libraries_come_in_by_their_door(path: Path) -> None:
    """MkDocs, verovio, music21, pydantic and mido are each known to one room only."""
    here = path.relative_to(PACKAGE).as_posix()
    for name in _imports(path):
        doors = DOORS.get(name.split(".")[0])
        assert doors is None or here.startswith(doors), f"{here} imports {name}"


def test_modules_stay_small() -> None:
    """No module of the package is longer than 400 lines."""
    lengths = {path.relative_to(PACKAGE).as_posix(): path.read_text(encoding="utf-8") for path in MODULES}
    assert [name for name, text in lengths.items() if len(text.splitlines()) > 400] == []


def test_top_level_holds_only_what_was_agreed() -> None:
    """Whoever opens the repository sees the agreed files and folders, and dot-files."""
    agreed = {"DEVELOPERS.md", "LICENSE", "README.md", "entries", "mkdocs.yml", "plugin"}
    agreed |= {"pyproject.toml", "site_demo", "tests"}
    listed = subprocess.run(("git", "ls-files"), cwd=ROOT, capture_output=True, text=True, check=True)
    tops = {line.split("/")[0] for line in listed.stdout.splitlines()}
    assert {top for top in tops if not top.startswith(".")} - agreed == set()


def _constants(tree: ast.Module) -> dict[str, str]:
    """Gives the texts that a module names."""
    return {
        node.targets[0].id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        and isinstance(node.targets[0], ast.Name)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    }


def test_every_remark_on_a_device_can_be_accepted() -> None:
    """The names that `accept:` knows are those of the remarks that are made, and no others."""
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in MODULES]
    shared = {name: text for tree in trees for name, text in _constants(tree).items() if name[0] != "_"}
    made: set[str] = set()
    for tree in trees:
        known = shared | _constants(tree)
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and ast.unparse(node.func).endswith(".remark"):
                # A score's report knows the place itself, so its rule stands first.
                rule = node.args["report" not in ast.unparse(node.func)]
                made |= {rule.value} if isinstance(rule, ast.Constant) else {known.get(ast.unparse(rule), "")}
    # Remarks on songs, and on entries of others, are not remarks on a device of one's own.
    mine = {rule for rule in made if rule and not rule.startswith(("song.", "import."))}
    assert {rule.rpartition(".")[2] for rule in mine} == set(REMARKS)


def test_the_committed_reference_is_current() -> None:
    """The reference is what the code says; `python -m transposary.reference` makes it anew."""
    committed = (ROOT / ".github" / "REFERENCE.md").read_text(encoding="utf-8")
    assert committed == reference(), "run  python -m transposary.reference > .github/REFERENCE.md"


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", ".github/REFERENCE.md"])
def test_links_within_the_repository_lead_somewhere(name: str) -> None:
    """A link of a document leads to a file of the repository, and there to a heading."""
    targets = re.findall(r"\]\(([^):]+)\)", (ROOT / name).read_text(encoding="utf-8"))
    assert [to for to in targets if not _leads(ROOT / name, to)] == []


def _leads(document: Path, target: str) -> bool:
    file, _, anchor = target.partition("#")
    path = document.parent / file if file else document
    return path.exists() and (not anchor or anchor in _anchors(path))


def _anchors(document: Path) -> set[str]:
    """GitHub makes an anchor of a heading: small letters, no punctuation, hyphens for spaces."""
    headings = re.findall(r"^#+ (.+)$", document.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}

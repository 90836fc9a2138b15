"""TOML that people write: strict, and what is wrong is said with its line."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from crosswalk.errors import MappingError
from crosswalk.tomlio import complaint, load_toml, read_toml


class Item(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    name: str
    shelf_mark: str = ""
    count: int = 0


class Kept(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"place": "in"}):
    place: str | list[str]


class Book(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    title: str
    item: list[Item] = []
    kept: Kept | None = None


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "book.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.mark.parametrize("start", ["", "\ufeff"], ids=["plain", "byte order mark"])
def test_a_good_file_is_read(tmp_path: Path, start: str) -> None:
    book = load_toml(written(tmp_path, start + 'title = "Étude"\n[[item]]\nname = "a"\nshelf-mark = "3"\n'), Book)
    assert book == Book("Étude", [Item("a", "3")])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('title = "x"\nshelf = "y"\n', "book.toml:2: unknown key `shelf`; accepted are: title, item, kept"),
        ('title = "x"\ntitel = "y"\n', "book.toml:2: unknown key `titel`; did you mean title"),
        (
            'title = "x"\n[[item]]\nname = "a"\n[[item]]\nname = "b"\nshelfmark = "3"\n',
            "book.toml:6: unknown key `shelfmark` in `item[1]`; did you mean shelf-mark?",
        ),
        (
            'title = "x"\n[[item]]\nname = "a"\ncount = 1\n[[item]]\nname = "b"\ncount = "two"\n',
            'book.toml:7: `count` may not be "two" in `item[1]`; it takes a whole number',
        ),
        ('title = "x"\n\n[[item]]\ncount = 1\n', "book.toml:3: `name` is missing in `item[0]`; it takes a text"),
        ("item = []\n", "book.toml:1: `title` is missing; it takes a text"),
        ("title = 3\n", "book.toml:1: `title` may not be 3; it takes a text"),
        ('title = "x"\nitem = "y"\n', 'book.toml:2: `item` may not be "y"; it takes a list of tables'),
        ('title = "x"\n[kept]\nin = 3\n', "book.toml:3: `in` may not be 3 in `kept`; it takes a text or a list of"),
        ('title = "x"\n[kept]\n', "book.toml:2: `in` is missing in `kept`; it takes a text or a list of texts"),
        ("title = 'x\n", "book.toml:1: is not TOML"),
        ("title = 'x'\n= 3\n", "book.toml:2: is not TOML"),
        ("title = [\n", "book.toml:1: is not TOML"),
        ("title = 'x'\n# shelf\n[[item]]\nname = 'a'\nshelf = 1", "book.toml:5: unknown key `shelf`"),
    ],
    ids=[
        "unknown", "nearly known", "in a table", "wrong type", "missing", "missing at the top", "type at the top",
        "no tables", "type in a table", "missing in a table", "not TOML", "not TOML further down",
        "not TOML at the end", "comment",
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_with_its_line(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(MappingError) as raised:
        load_toml(written(tmp_path, text), Book)
    assert message in str(raised.value)


def test_all_that_is_wrong_is_said_at_once(tmp_path: Path) -> None:
    text = 'titel = "x"\n[[item]]\nname = 3\ncount = "two"\n[[item]]\nshelf = "y"\n[kept]\nin = 4\n'
    with pytest.raises(MappingError) as raised:
        load_toml(written(tmp_path, text), Book)
    told = [line.rpartition("book.toml:")[2].partition(";")[0] for line in str(raised.value).splitlines()]
    assert told == [
        "1: unknown key `titel`",
        "1: `title` is missing",
        "3: `name` may not be 3 in `item[0]`",
        '4: `count` may not be "two" in `item[0]`',
        "5: `name` is missing in `item[1]`",
        "6: unknown key `shelf` in `item[1]`",
        "8: `in` may not be 4 in `kept`",
    ]


def test_what_stands_in_other_tables_can_still_be_judged(tmp_path: Path) -> None:
    text = 'title = "x"\n[[item]]\nname = 3\n[[item]]\nname = "b"\n'
    book, mistakes = read_toml(written(tmp_path, text), Book)
    assert book == Book("x", [Item(""), Item("b")])
    assert [one.table for one in mistakes] == ["item[0]"]


def test_a_file_in_another_encoding_is_said(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match="give a TOML file in UTF-8"):
        load_toml(written(tmp_path, b"title = '\xe9'"), Book)


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match=r"none\.toml: cannot be read"):
        load_toml(tmp_path / "none.toml", Book)


@pytest.mark.parametrize(
    ("key", "place"),
    [
        ("name", "book.toml:2"),
        ("title", "book.toml:1"),
        ("nothing", "book.toml"),
        ("", "book.toml"),
        ("a.b*", "book.toml:3"),
    ],
)
def test_a_complaint_points_at_the_first_line_with_the_key(tmp_path: Path, key: str, place: str) -> None:
    path = written(tmp_path, 'title = "x" # name\nname = "y"\nheading = "a.b*"\n')
    assert str(complaint(path, key, "is odd", "mend it")) == f"{tmp_path}/{place}: is odd; mend it"


def test_a_complaint_about_a_file_that_is_gone_names_it(tmp_path: Path) -> None:
    assert complaint(tmp_path / "gone.toml", "x", "is odd", "mend it").place == str(tmp_path / "gone.toml")

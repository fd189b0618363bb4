"""A club's folder: what is taken, and what every kind of bad file is told."""

import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs import club as club_records
from explorer.records.clubs.club import (
    CLUB_VARIABLE,
    bikes_in_words,
    bikes_offered,
    club_here,
    is_served,
    read_club,
    units_offered,
)
from explorer.records.clubs.club_settings import LARGEST, read_settings
from explorer.records.errors import RecordError

PAGES = ("gearing", "fit", "ground", "members", "method")
SCRIPT = "<script>alert(1)</script>"


@pytest.fixture
def folder(tmp_path: Path, repository: Path) -> Path:
    """A copy of the club that comes with the project, to be spoilt."""
    return Path(shutil.copytree(repository / "data" / "club", tmp_path / "club"))


@pytest.fixture
def at_club(folder: Path, monkeypatch: pytest.MonkeyPatch):
    """As in a kernel of that club's server."""
    monkeypatch.setenv(CLUB_VARIABLE, str(folder))
    club_here.cache_clear()
    yield folder
    club_here.cache_clear()


def problems_of(folder: Path) -> list[str]:
    with pytest.raises(RecordError) as caught:
        read_club(folder, PAGES)
    return list(caught.value.sentences)


def test_the_club_that_comes_with_the_project(folder):
    club = read_club(folder, PAGES)
    assert club.title == "Puddle Lane Trail Club"
    assert club.pages == PAGES
    assert list(club.bikes) == ["club-trail-200", "club-youth-80"]
    assert len(club.members) == 10
    assert club.frame_hosts == ()
    assert all(bike.provenance == "invented" for bike in club.bikes.values())
    # Whoever copies the folder sees in each file that it is invented.
    for file in folder.rglob("*.*"):
        assert "invented" in file.read_text("utf-8").lower(), file.name


def test_the_chosen_bike_comes_first(folder):
    settings = (folder / "club.toml").read_text("utf-8")
    (folder / "club.toml").write_text(settings.replace('"club-trail-200"', '"club-youth-80"'))
    assert list(read_club(folder).bikes) == ["club-youth-80", "club-trail-200"]


def test_a_title_is_enough(tmp_path):
    (tmp_path / "club.toml").write_text('title = "Ours"')
    club = read_club(tmp_path, PAGES)
    assert dict(club.bikes) == dict(demo_bikes())
    assert (club.members, club.pages, club.units, club.own_bikes) == (None, None, "metric", False)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('titel = "Ours"', '"titel" is not a setting; did you mean title?'),
        ("[colours]", '"colours" is not a setting; there are title, text,'),
        ('title = ""', "the setting title cannot be"),
        ('title = "  "', "the setting title cannot be"),
        (f'title = "{"x" * 81}"', "one line of 1 to 80 characters"),
        ('title = "a\\u0007b"', "the setting title cannot be"),
        ('title = "a\\u202Eb"', "the setting title cannot be"),
        ("title = 7", 'the setting title cannot be "7"'),
        (f'text = "{"x" * 1001}"', "the setting text cannot be"),
        ('contact = ["a"]', "the setting contact cannot be"),
        ('units = "SI"', 'units = "metric" or units = "imperial"'),
        ('bike = "none-such"', 'there is no bike "none-such"; the bikes are club-trail-200, club'),
        ("bike = true", "the setting bike cannot be"),
        ("pages = []", "the setting pages cannot be"),
        ('pages = "gearing"', "the setting pages cannot be"),
        ('pages = ["gearing", 3]', 'the setting pages cannot be "3"'),
        ('pages = ["gearing", "../etc"]', 'there is no page "../etc"; the pages are gearing, fit,'),
        ('pages = ["fit", "fit"]', "the setting pages names a page twice"),
        ('frame_hosts = "https://a.example"', "the setting frame_hosts cannot be"),
        ('frame_hosts = ["*"]', "the setting frame_hosts cannot be"),
        ('frame_hosts = ["https://*.example"]', "the setting frame_hosts cannot be"),
        ('frame_hosts = ["club.example"]', "each with its scheme"),
        ('frame_hosts = ["https://club.example/x"]', "without path or wildcard"),
        ('frame_hosts = ["https://a.example; script-src *"]', "the setting frame_hosts cannot be"),
        ('frame_hosts = ["https://a.example\\r\\nX: y"]', "the setting frame_hosts cannot be"),
        ('frame_hosts = ["https://a.example:99999"]', "the setting frame_hosts cannot be"),
        ('frame_hosts = ["javascript://a"]', "the setting frame_hosts cannot be"),
        ("frame_hosts = [1]", 'the setting frame_hosts cannot be "1"'),
        ("title", "cannot be read as TOML"),
        ("units = metric", "cannot be read as TOML"),
    ],
)
def test_each_bad_setting_is_one_sentence_with_the_name_of_the_file(folder, line, says):
    name = line.split(" =")[0]
    kept = [
        each
        for each in (folder / "club.toml").read_text("utf-8").splitlines()
        if not each.startswith(f"{name} =")
    ]
    (folder / "club.toml").write_text("\n".join([*kept, line]))
    [sentence] = problems_of(folder)
    assert sentence.startswith("club.toml: ")
    assert says in sentence
    assert sentence.endswith((".", "?"))


def test_a_line_that_is_no_toml_is_named(folder):
    (folder / "club.toml").write_text('title = "Ours"\nunits = metric\n')
    assert "club.toml: line 2 cannot be read as TOML" in problems_of(folder)[0]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the setting title is missing"),
        (b"\xff\xfe", "not UTF-8"),
        (b"#" * (LARGEST + 1), "larger than 100 kB"),
        (b"title = " + b"[" * 5000, "cannot be read as TOML"),
    ],
)
def test_a_file_that_is_none(folder, data, says):
    (folder / "club.toml").write_bytes(data)
    assert says in problems_of(folder)[0]


def test_a_mark_at_the_front_and_several_lines_are_taken():
    data = '\N{BYTE ORDER MARK}title = """\nOurs\n  and yours"""'.encode()
    assert read_settings(data).title == "Ours and yours"


def test_hosts_lose_capitals_and_repeats(folder):
    settings = (folder / "club.toml").read_text("utf-8")
    hosts = '["https://Club.Example", "https://club.example", "http://127.0.0.1:8080"]'
    (folder / "club.toml").write_text(
        settings.replace("frame_hosts = []", f"frame_hosts = {hosts}")
    )
    assert read_club(folder).frame_hosts == ("https://club.example", "http://127.0.0.1:8080")


def test_problems_of_all_files_are_told_at_once(folder):
    (folder / "club.toml").write_text('title = "Ours"\ncolour = "red"\nunits = "SI"')
    (folder / "members.csv").write_text("nonsense")
    (folder / "bikes" / "empty.toml").write_bytes(b"")
    (folder / "bikes" / "club-youth-80.toml").write_bytes(b"name = 7")
    files = [sentence.split(": ")[0] for sentence in problems_of(folder)]
    assert set(files) == {
        "club.toml",
        "bikes/empty.toml",
        "bikes/club-youth-80.toml",
        "members.csv",
    }
    assert files.count("club.toml") == 2


def test_what_is_not_there_or_cannot_be_opened(folder, tmp_path):
    assert "is not a folder" in problems_of(tmp_path / "none")[0]
    (folder / "club.toml").unlink()
    (folder / "members.csv").unlink()
    (folder / "members.csv").mkdir()
    shutil.rmtree(folder / "bikes")
    (folder / "bikes").mkdir()
    said = problems_of(folder)
    assert said[0].startswith("club.toml: the file cannot be opened")
    assert any("bikes" in sentence and "has no bike file" in sentence for sentence in said)
    assert any(sentence.startswith("members.csv: the file cannot be opened") for sentence in said)


def test_the_members_page_needs_members(folder):
    (folder / "members.csv").unlink()
    [sentence] = problems_of(folder)
    assert sentence.startswith("club.toml: the page members shows members.csv")


@given(st.binary(max_size=300))
def test_bytes_never_give_anything_but_sentences(data):
    try:
        read_settings(data)
    except RecordError as error:
        assert error.sentences
        assert all(sentence.isprintable() for sentence in error.sentences)


_VALUES = st.recursive(
    st.one_of(
        st.text(max_size=20).map(lambda text: f'"{text}"'),
        st.integers().map(str),
        st.sampled_from(["true", "nan", "inf", "2026-01-01", "07:32:00", "1e400"]),
    ),
    lambda inner: st.lists(inner, max_size=3).map(lambda parts: f"[{', '.join(parts)}]"),
    max_leaves=5,
)
_NAMES = st.sampled_from(
    ["title", "text", "contact", "units", "bike", "pages", "frame_hosts", "x", '""', "a.b"]
)


@given(st.dictionaries(_NAMES, _VALUES, max_size=5))
def test_settings_of_any_kind_never_give_anything_but_sentences(tables):
    data = "\n".join(f"{name} = {value}" for name, value in tables.items()).encode()
    try:
        found = read_settings(data)
    except RecordError as error:
        assert error.sentences
        assert all(sentence.isprintable() for sentence in error.sentences)
    else:
        assert found.title.isprintable() and found.title.strip()


def test_text_that_looks_like_a_script_is_kept_as_text():
    texts = f'title = "{SCRIPT}"\ntext = "{SCRIPT}"\ncontact = "{SCRIPT}"'
    found = read_settings(texts.encode())
    # Nothing is taken away here; whoever shows it escapes it (tests/serve/test_club_site.py).
    assert found.title == found.text == found.contact == SCRIPT


def test_pages_offer_what_the_club_says(at_club):
    assert list(bikes_offered()) == ["club-trail-200", "club-youth-80"]
    assert units_offered() == "metric"
    assert bikes_in_words() == "All but a bike of your own are the club's"
    assert [name for name in (*PAGES, "lesson", "wants") if is_served(name)] == list(PAGES)


def test_a_club_without_bikes_of_its_own_says_so(at_club):
    shutil.rmtree(at_club / "bikes")
    (at_club / "club.toml").write_text('title = "Ours"\nunits = "imperial"')
    assert dict(bikes_offered()) == dict(demo_bikes())
    assert bikes_in_words() == "All but a bike of your own are invented demo bikes"
    assert units_offered() == "imperial"
    assert is_served("lesson") and is_served("members")


def test_without_a_club_there_are_the_demo_bikes(monkeypatch):
    monkeypatch.delenv(CLUB_VARIABLE, raising=False)
    club_records.club_here.cache_clear()
    assert bikes_offered() is demo_bikes()
    assert is_served("lesson") and not is_served("members")


def renamed(folder, name: str, other: str) -> None:
    (folder / name).rename(folder / "for a moment")
    (folder / "for a moment").rename(folder / other)


def test_capitals_in_names_and_files_that_file_managers_leave_do_not_matter(folder):
    plain = read_club(folder)
    renamed(folder, "club.toml", "Club.TOML")
    renamed(folder, "members.csv", "members.CSV")
    renamed(folder, "bikes/club-youth-80.toml", "bikes/club-youth-80.TOML")
    renamed(folder, "bikes/club-youth-80-torque.csv", "bikes/club-youth-80-torque.CSV")
    renamed(folder, "bikes", "Bikes")
    for left in ("._club.toml", "._members.csv", "Bikes/._club-youth-80.toml", ".DS_Store"):
        (folder / left).write_bytes(b"\0\5\x16\7")
    assert read_club(folder) == plain


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("bikes", "bike"),
        ("bikes", "motorcycles"),
        ("members.csv", "members.xlsx"),
        ("members.csv", "member.csv"),
        ("club.toml", "club.toml.txt"),
    ],
)
def test_what_is_not_read_because_of_its_name_is_said(folder, name, other):
    renamed(folder, name, other)
    said = f'"{other}" is not read; if it is meant for {name}, give it that name.'
    assert said in problems_of(folder)


def test_other_files_in_the_folder_are_nobodys_business(folder):
    (folder / "minutes.txt").write_text("Nothing.")
    (folder / "photos").mkdir()
    assert read_club(folder).own_bikes


def test_a_members_table_with_blank_rows_and_columns_is_read_as_without(folder):
    plain = read_club(folder).members
    lines = (folder / "members.csv").read_text("utf-8").splitlines()
    wider = [
        line if line.startswith("#") else f",{line.replace(',', ',,,', 1)},," for line in lines
    ]
    (folder / "members.csv").write_text("\n".join([",,", *wider, ",,,,,", "", ",,"]), "utf-8")
    assert read_club(folder).members == plain
    # What stands under no head is not passed over.
    wider[-1] = f"Ann{wider[-1]}"
    (folder / "members.csv").write_text("\n".join(wider), "utf-8")
    said = f"members.csv: line {len(wider)} has a cell in a column without a head; take it out."
    assert said in problems_of(folder)


def test_a_torque_file_with_semicolons_and_decimal_commas_is_read_as_with_commas(folder):
    file = folder / "bikes" / "club-youth-80-torque.csv"
    plain = read_club(folder).bikes
    rows = [
        line if line.startswith("#") else line.replace(",", ";").replace(".", ",") + ";"
        for line in file.read_text("utf-8").splitlines()
    ]
    file.write_text("\n".join([*rows, ";;"]), "utf-8")
    assert dict(read_club(folder).bikes) == dict(plain)

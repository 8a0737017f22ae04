"""What a group adds to its report: read from plain files, refused where it would give somebody away."""

import pytest
from unsnag.errors import Problems
from unsnag.report.own_words import OwnWords, read


def write(folder, **files):
    """Files of the workspace's folder report/, by path with __ for / and _dot_ for the last full stop."""
    for name, text in files.items():
        path = folder / "report" / name.replace("__", "/").replace("_dot_", ".")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())


def test_a_workspace_without_the_folder_has_no_words(tmp_path):
    assert read(tmp_path, 2024) == OwnWords()


def test_a_year_s_own_foreword_comes_before_the_general_one(tmp_path):
    write(tmp_path, foreword_dot_txt="Every year.")
    assert read(tmp_path, 2024).foreword == ("Every year.",)
    (tmp_path / "report" / "foreword-2024.txt").write_text("This year.\r\n\r\nAnd\nagain.", encoding="utf-8")
    assert read(tmp_path, 2024).foreword == ("This year.", "And again.")
    assert read(tmp_path, 2023).foreword == ("Every year.",)


def test_stories_of_the_year_only_in_the_order_of_their_names(tmp_path):
    write(
        tmp_path,
        stories__2024__b_dot_txt="Second\nIt went.",
        stories__2024__a_dot_txt="First\n\nIt came.\n\nSwam.",
    )
    write(tmp_path, stories__2023__c_dot_txt="Old\nGone.")
    assert read(tmp_path, 2024).stories == (("First", ("It came.", "Swam.")), ("Second", ("It went.",)))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Only a title", "no title or no text"),
        ("Found\n\nBy a man, call +61 7 5550 1234 for more.", "telephone"),
        ("Found\n\nWrite to finder@example.org.", "e-mail"),
    ],
)
def test_a_story_that_cannot_go_out_is_refused_with_its_file(tmp_path, text, told):
    write(tmp_path, stories__2024__swan_dot_txt=text)
    with pytest.raises(Problems) as caught:
        read(tmp_path, 2024)
    assert "swan.txt" in str(caught.value) and told in str(caught.value)


def test_a_text_in_another_encoding_and_a_sign_too_large_are_told_together(tmp_path):
    write(tmp_path, contact_dot_txt="Año".encode("latin-1"), logo_dot_png=bytes(1_000_001))
    with pytest.raises(Problems) as caught:
        read(tmp_path, 2024)
    assert "UTF-8" in str(caught.value) and "too large" in str(caught.value)


def test_the_sign_is_read_as_it_is(tmp_path):
    write(tmp_path, logo_dot_svg="<svg xmlns='http://www.w3.org/2000/svg'/>")
    assert read(tmp_path, 2024).sign == ("logo.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>")

"""Invented finders, planted in private columns and in notes so that the tool's privacy can be tested.

Surnames are made of invented syllables; e-mail addresses end in example.org (reserved by RFC 2606); telephone numbers
begin with 0491 57, a range set aside for fiction (from memory).
"""


def words(text, separator=None):
    """A list out of one line of text."""
    return text.split(separator)


FIRST = words(
    "Abril Bryn Cleo Dario Edda Fenn Gita Hollis Imre Juno Kasimir Lark Mireille Niall Oona "
    "Perrin Quill Renée Sorrel Tamsin Ulf Vesna Wilmot Xanthe Yara Zoë"
)
START = words("Brand Corr Dunn Fenn Gill Holl Kest Lamm Mirr Nank Orr Pell Quil Rens Sarr Tess Varr Wenn")
FINISH = words(
    "abray adine agrove amere anwick ebeck efold elow inham issey itree omond orran oway ulby ustone"
)
STREETS = words(
    "Gannet Parade|Saltbush Lane|Old Cannery Road|Petrel Close|Tidewater Street|"
    "Lamplighter Row|Quince Avenue|Boatshed Lane",
    "|",
)


class Finder:
    """One invented person: name, phone, email, address."""

    def __init__(self, chooser):
        first = chooser.one_of(FIRST)
        surname = chooser.one_of(START) + chooser.one_of(FINISH)
        self.name = f"{first} {surname}"
        plain = first.lower().replace("é", "e").replace("ë", "e")
        self.email = f"{plain}.{surname.lower()}@example.org"
        digits = chooser.whole(0, 9999)
        self.phone = f"0491 57{digits // 1000} {digits % 1000:03d}"
        self.address = f"{chooser.whole(2, 180)} {chooser.one_of(STREETS)}"

"""Contact details in free text: e-mail addresses, phone numbers and street addresses become '[removed]'.

Rules, not guesses: each pattern is a written form of English- or Spanish-speaking countries (common practice, no
source). What clinics write all day must pass untouched: hook sizes (4/0), doses (2 x 10 ml), weights, dates, times,
coordinates, band and chip numbers. Names of people are not recognised: columns that hold them belong in ``private``.
Every repetition is bounded, so that the time grows with the length of the text and no faster.
"""

import re

REMOVED = "[removed]"
SHORTEST = 6  # characters of the shortest contact detail, "a@b.co" or "1 A St"

EMAIL = re.compile(r"(?<![\w.+-])[\w.+-]{1,64}@(?:[\w-]{1,63}\.){1,8}[^\W\d_]{2,24}\b")

# Numbers that a phone pattern could start in but that are none; tried first, they use up their text.
FULL_DAY = r"(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/. ]\d{1,2}[-/. ](?:19|20)\d\d)(?!\d)"
NO_PHONE = (
    rf"(?<!\d)(?:{FULL_DAY}|\d{{1,2}}[-/.]\d{{1,2}}[-/.]\d\d)(?![./-]?\d)",
    r"(?<!\d)20[0-4]\d{7}(?!\d)",  # a case number that starts with its year
    r"[+-]?(?<![\w.])\d{1,3}[.,]\d{4,}(?!\d|\.\d)",  # decimal degrees
    r"(?<![\d-])\d{3,4}-\d{5}(?![\d-])",  # a band: prefix and five digits
    r"(?<!\d)9\d\d(?: ?\d){12}(?!\d)",  # a chip: fifteen digits that start with 9
)
GAP = r"[ \xa0.–-]{1,2}"
GROUP = rf"(?:{GAP}(?!{FULL_DAY})\d{{2,8}})"
AREA = rf"(?:{GAP}(?!{FULL_DAY})\d{{1,8}})"  # +61 7 …, +33 1 …: one digit for an area, behind a country's sign only
FREE = r"(?<![\w.,/+#–-])"  # not inside a longer number or code
TRUNK = r"(?<![\w.+#–-])0"  # the zero of national numbers; lists of them are written 04…/04… and 04…,04…
END = r"(?!\w)(?! ?(?:k?g|mg|ml|mm|cm|m)\b)"
ANY_GAP = r"[ \xa0()./–-]{0,2}"
PHONES = (
    rf"(?<!\w)(?=\+(?:{ANY_GAP}\d){{8}})\+\d{{1,12}}(?:(?:{GAP})?\(\d{{1,5}}\) ?\d{{1,8}}|{AREA}){GROUP}{{0,5}}{END}",
    rf"(?<!\w)\+\d{{8,15}}{END}",
    rf"(?<!\w)(?=\((?:{ANY_GAP}\d){{7}})\(0?\d{{1,4}}\) ?(?!{FULL_DAY})\d{{2,8}}{GROUP}{{0,4}}{END}",
    rf"(?=0(?:{ANY_GAP}\d){{8}}){TRUNK}\d{{1,4}}(?:/\d{{5,8}}|{GROUP}{{1,5}}){END}",
    rf"{TRUNK}\d{{8,11}}{END}",
)
# These are phone numbers only if they stand alone, not behind another number as in a row of weights.
PHONES_ALONE = (
    rf"{FREE}(?:1{GAP})?[2-9]\d\d{GAP}\d{{3}}{GAP}\d{{4}}{END}",
    rf"{FREE}[2-9]\d\d[2-9]\d{{6}}{END}",
    rf"(?P<threes>{FREE}[4679]\d\d[ \xa0]\d{{3}}[ \xa0]\d{{3}}{END}(?! \d{{3}}\b))",
    rf"{FREE}[679]\d\d(?:{GAP}\d\d){{3}}{END}",
    rf"{FREE}9\d \d{{3}} \d\d \d\d{END}",
    rf"{FREE}[4679]\d{{8}}{END}",
)
PHONE = re.compile(
    rf"(?=[\d+(-])(?:(?P<no_phone>{'|'.join(NO_PHONE)})|{'|'.join(PHONES)}|(?P<alone>{'|'.join(PHONES_ALONE)}))"
)
BEHIND_A_NUMBER = re.compile(r"\d[ \xa0]$")
NUMBERED_THING = re.compile(
    r"\b(?:bands?|anillas?|(?:micro)?chips?|tags?|case|caso|ref|lot|lote|batch)\b"
    r"[ .:]{0,3}(?:no|nr|number)?[ .:]{0,3}$",
    re.IGNORECASE,
)

# Behind such a word, shorter numbers are phone numbers too.
CALL_WORDS = "phone|tel|mob|fax|call|rang|whatsapp|tfno|móvil|movil|llamar"
CALLED = re.compile(
    r"(\b(?:(?:tele)?phone|tel|mob(?:ile)?|fax|call(?:ed)?|rang|whatsapp|tel[eé]fono|tfno|m[oó]vil|llamar)\b"
    r"[ .:]{0,3}(?:no\.?|number|número|al)?[ .:]{0,3})"
    rf"(?=(?:{ANY_GAP}\d){{6}})(?!{FULL_DAY})\d{{2,12}}{GROUP}{{0,4}}{END}",
    re.IGNORECASE,
)

WORD = r"[^\W\d_][\w'’-]{0,30}"
CAPITAL = r"[A-ZÀ-Þ][\w'’-]{0,30}"
NAME = rf"(?:{CAPITAL}|\d{{1,3}}(?:st|nd|rd|th|ST|ND|RD|TH))\.?"  # 'Marsh', 'E.', '4th'
HOUSE = r"(?<![\w./,:-])(?:(?:[Uu]nit|[Ff]lat|[Aa]pt)\.? ?\d{1,4}[, ]{1,2})?(?:\d{1,4}/)?\d{1,5}[A-Za-z]?,? "
# Words that hardly mean anything else, in any case; the rest only in capitals, behind capitalised names.
SURE_WORDS = "street|road|lane|avenue|crescent|boulevard|terrace|highway|esplanade|parade"
STREET_WORDS = (
    "Street|St|Road|Rd|Lane|Ln|Avenue|Ave|Av|Drive|Dr(?!\\.? [A-Z])|Court|Ct|Crescent|Cres|Place|Pl|Parade|Pde"
    "|Terrace|Tce|Close|Cl|Way|Boulevard|Blvd|Esplanade|Esp|Highway|Hwy|Circuit|Cct|Grove|Mews|Quay|Square|Sq"
    "|Row|Walk|Rise|Loop|Track|Trail"
)
SHOUTED = "ST|RD|LN|AVE?|DR|DRIVE|CT|COURT|CRES|CIR|PL|PLACE|PDE|TCE|WAY|BLVD|ESP|HWY|PKWY|CCT|GROVE|SQ"
NO_STREET_NAME = (
    "x|mm|cm|m|km|metres?|meters?|miles?|g|kg|ml|mg|lb|oz|of|on|in|at|by|to|the|a|from|near|off|along|across|down"
    "|under|beside|crossing|and|or|hooks?|lures?|days?|hours?|weeks?|months?|times?|animals?|birds?|found|hit"
)
CALLE_WORDS = r"calle|c/|aven|avda|av\.|paseo|plaza|pza|camino|carret|ctra|ronda|rua|rúa|carrer"
BOX_WORDS = "box|apartado|apdo"
CALLE = (
    r"\b(?:[Cc]alle|C/|[Aa]venida|[Aa]vda\.?|Av\.|[Pp]aseo|[Pp]laza|Pza\.?|[Cc]amino|[Cc]arretera|Ctra\.?|[Rr]onda"
    r"|[Rr][uú]a|[Cc]arrer)"
)
AMOUNT = "d[ií]as?|horas?|h|veces|vez|semanas?|meses|años?|anzuelos?|km|metros|k?g|m[lg]?|x"
NUMBER_BEHIND = (
    rf",? (?:n[º°.o]{{1,2}} ?)?\d{{1,4}}(?!\d|[/.,]\d| ?(?:{AMOUNT})\b)[A-Za-z]?\b"
    r"(?:, ?\d{1,2}[º°ª](?: ?[A-Z]\b)?)?"
)
LINKS = "de|del|la|las|los|y|da|do"
HOUSES = (
    rf"{HOUSE}(?:{NAME} ){{1,3}}(?:{STREET_WORDS})\b\.?",
    rf"{HOUSE}(?:(?!(?i:{NO_STREET_NAME})\b){NAME} ){{1,4}}(?:{SHOUTED}|{SURE_WORDS.upper()})\b\.?",
    rf"{HOUSE}(?:(?!(?i:{NO_STREET_NAME})\b){WORD} ){{1,2}}(?i:{SURE_WORDS})\b",
)
CALLES = (
    rf"{CALLE} ?(?:(?:{LINKS}|el) ){{0,3}}{CAPITAL}(?: (?:{LINKS}|{CAPITAL})){{0,4}}{NUMBER_BEHIND}",
    rf"\b(?:calle|avenida|avda\.?) (?!(?:con|hace|y|a|en|sin|por)\b){WORD}{NUMBER_BEHIND}",
)
HOUSE_AND_STREET = re.compile(rf"(?=[\dUuFfAa])(?:{'|'.join(HOUSES)})")
CALLE_AND_HOUSE = re.compile(rf"(?=[CcAaPpRr])(?:{'|'.join(CALLES)})")
POST_BOX = re.compile(r"\b(?:P\.? ?O\.? Box|Apartado(?: de correos)?|Apdo\.?) \d{1,6}\b")

# The cheap tests. [0-9] because it is found twice as fast as \d.
DIGIT = re.compile("[0-9]")
LONG_NUMBER = re.compile(r"[0-9][0-9 \xa0()./–-]{7}")
HOUSE_AND_NAME = re.compile("[0-9][A-Za-z]?,? (?:[A-ZÀ-Þ]|[0-9]{1,3}[snrtSNRT])")
TELLING_WORD = re.compile("|".join((CALL_WORDS, SURE_WORDS, CALLE_WORDS, BOX_WORDS)))


def remove_contact_details(text: str) -> str:
    """The text with each contact detail replaced by '[removed]'.

    Pure; its own result passes unchanged. Cheap tests come first, because hardly any cell holds contact details.
    """
    before = None
    while text != before:  # what is removed may have hidden that the number behind it stands alone
        before = text
        text = _removed_once(text)
    return text


def _removed_once(text: str) -> str:
    if "@" in text:
        text = EMAIL.sub(REMOVED, text)
    if not DIGIT.search(text):
        return text
    if LONG_NUMBER.search(text):
        text = _without_phones(text)
    if HOUSE_AND_NAME.search(text):
        text = HOUSE_AND_STREET.sub(REMOVED, text)
    return _without_told(text) if TELLING_WORD.search(text.lower()) else text


def _without_told(text: str) -> str:
    """The details that some word gives away."""
    text = CALLED.sub(rf"\1{REMOVED}", text)
    text = HOUSE_AND_STREET.sub(REMOVED, text)
    text = CALLE_AND_HOUSE.sub(REMOVED, text)
    return POST_BOX.sub(REMOVED, text)


def _without_phones(text: str) -> str:
    removed_to = -1

    def replaced(found: re.Match) -> str:
        nonlocal removed_to
        follows_a_phone = found.start() - 1 == removed_to
        if found["no_phone"] or _is_named(found) or _is_in_a_row(found, follows_a_phone):
            return found[0]
        removed_to = found.end()
        return REMOVED

    return PHONE.sub(replaced, text)


def _is_named(found: re.Match) -> bool:
    """Whether the word before it says what the number is: "band 612345678"."""
    before = found.string[max(0, found.start() - 30) : found.start()]
    return found[0][0] not in "0+(" and bool(NUMBERED_THING.search(before))


def _is_in_a_row(found: re.Match, follows_a_phone: bool) -> bool:
    """Whether it is part of a row of numbers, unless the one before was a phone number itself."""
    if not found["alone"]:
        return False
    before = found.string[max(0, found.start() - 2) : found.start()]
    is_behind = not follows_a_phone and BEHIND_A_NUMBER.search(before)
    return bool(is_behind) or (bool(found["threes"]) and _is_row_of_weights(found["threes"]))


def _is_row_of_weights(threes: str) -> bool:
    """Three numbers of three digits within a seventh of each other: an animal weighed three times."""
    weights = [int(number) for number in threes.split()]
    return max(weights) * 6 <= min(weights) * 7

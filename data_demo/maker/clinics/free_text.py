"""How Lantern Rock's volunteers put things: what happened to the animal, and a diary in one cell."""

GEAR = {
    "hook": "hook",
    "lure": "lure",
    "line": "fishing line",
    "net": "net",
    "sinker": "sinker",
    "rope_or_twine": "rope",
    "several": "hook line and sinker",
}
SITES = {
    "oesophagus": "gullet",
    "stomach": "stomach",
    "intestine": "gut",
    "gizzard": "gizzard",
    "throat_glottis": "back of the throat",
    "mouth": "mouth",
    "tongue": "tongue",
    "beak_or_jaw": "beak",
    "wing": "wing",
    "foot_or_leg": "leg",
    "neck": "neck",
    "head": "head",
    "body_wall": "side",
    "flipper": "flipper",
    "tail": "tail",
    "several_sites": "body all over",
}
INJURIES = {
    "ingested": [
        "Swallowed {gear}, x-ray shows it in the {site}.",
        "Has swallowed a {gear}. On the film it is in the {site}.",
    ],
    "embedded": ["{gear} stuck in {site}.", "Hooked in the {site} ({gear})."],
    "entangled": ["Tangled in {gear} round the {site}.", "Wrapped up in {gear}, mainly {site}."],
    "constricting": [
        "{gear} cutting in round the {site}, tight.",
        "{gear} wound tight on {site}, swollen below it.",
    ],
    "lead_poisoning": [
        "Lead {gear} in the {site} on x-ray, weak and green droppings.",
        "Lead poisoned, {gear} in {site}.",
    ],
}
FOUND = {
    "dead": ["Found dead on the sand.", "Died in the car on the way here."],
    "ill": [
        "Found sitting on the path, did not fly off.",
        "No signs of hooks or fishing line, just flat out.",
    ],
    "well": [
        "Bright, bit everyone.",
        "Walked in by two kids with a towel.",
        "No signs of hooks or fishing line.",
    ],
}
SEEN = {
    "gear_unmoved": ["x-ray again, {gear} has not moved", "film: no change"],
    "gear_moved": ["x-ray, {gear} further down", "film: {gear} has moved on"],
    "gear_passed": ["x-ray clear, {gear} gone, passed it", "{gear} came out in the droppings"],
    "worse": ["going downhill, off food", "looks worse today"],
    "improved": ["picking up", "brighter today"],
}
FELL_OUT = ["{gear} fell out by itself", "{gear} gone this morning, found on the floor"]
REASONS = {
    "worse": " because worse",
    "unmoved": " as hook not moving",
    "failed_attempt": " after failed try",
}
LEAVES_GEAR = ("line_cut_hook_left", "chelation")
RESULTS = {
    "success": " - worked, out",
    "failed": " - did not work, could not get it",
    "abandoned": " - stopped half way",
}


def story(case, choose):
    """What happened, in a sentence or two."""
    f = case.features
    if not case.is_tackle():
        is_ill = f["severity"] in ("severe", "critical")
        return choose.one_of(FOUND["dead" if f["arrival"] == "dead" else "ill" if is_ill else "well"])
    text = choose.one_of(INJURIES[f["injury"]]).format(gear=GEAR[f["gear"]], site=SITES[f["body_site"]])
    if f["line"]:
        text += " Line hanging out."
    elif choose.chance(0.3):
        text += " No line showing."
    if f["gear"] == "hook" and f["hook_kind"] in ("treble", "circle"):
        text += f" {f['hook_kind'].capitalize()} hook."
    return text[0].upper() + text[1:]


def sighting(case, finding, choose):
    """One finding, as the diary has it."""
    if finding.code == "lead_level":
        return f"lead {finding.value} ug/dL"
    is_outside = case.features["injury"] == "embedded" and finding.code == "gear_passed"
    options = FELL_OUT if is_outside else SEEN[finding.code]
    return choose.one_of(options).format(gear=GEAR.get(case.features["gear"], ""))


def deed(word, procedure):
    """One procedure, as the diary has it; ``word`` is the clinic's own for it."""
    trouble = procedure.complication.replace("_", " ")
    ending = f", {trouble}" if trouble not in ("", "none") else ""
    result = "" if procedure.code in LEAVES_GEAR else RESULTS.get(procedure.result, "")
    return word + REASONS.get(procedure.reason, "") + result + ending

"""The pieces of gear that a case carries, and what becomes of them."""

from maker import rates as r
from maker.case import GearItem

HOOKED = ("hook", "lure", "several")
HOOK_SIZES = ["1/0", "2/0", "4/0", "6", "4", "2"]
STRENGTHS_KG = ["3", "4", "6", "8", "10", "15", "20"]
LENGTHS_M = ["0.1", "0.2", "0.3", "0.5", "0.8", "1.5", "2"]
REMOVES_GEAR = (
    "endoscopic_retrieval",
    "surgery_coeliotomy",
    "surgery_oesophagotomy",
    "manual_removal",
    "barb_cut_and_backed_out",
    "pushed_through",
    "disentangling",
)


def gear_items(case, choose):
    """The main piece, and for some animals a second hook. Of what is not written down, the cell stays empty."""
    items = [_main_item(case, choose)]
    is_alive = case.features["arrival"] == "alive"
    if is_alive and (items[0].gear == "several" or (items[0].hook_kind and choose.chance(0.05))):
        where = choose.one_of(["foot_or_leg", "neck", "tail"])
        items.append(GearItem("hook", "embedded", where, hook_kind="treble", fate="removed", fate_day=0))
    return items


def _main_item(case, choose):
    f = case.features
    is_hook, has_line = f["gear"] in HOOKED, f["line"] or f["gear"] == "line"
    fate, fate_day = _fate(case)
    return GearItem(
        f["gear"],
        f["injury"],
        f["body_site"],
        hook_kind=f["hook_kind"] if is_hook else "",
        hook_size=choose.one_of(HOOK_SIZES) if is_hook and choose.chance(0.6) else "",
        barb=choose.word(["barbed", "barbless", "crushed"]) if is_hook and choose.chance(0.7) else "",
        line_strength=choose.one_of(STRENGTHS_KG) if has_line and choose.chance(0.4) else "",
        line_length=choose.one_of(LENGTHS_M) if has_line and choose.chance(0.5) else "",
        line_trailing="yes" if f["line"] else "no",
        lead="yes" if f["problem"] == r.LEAD else choose.word(["no", "uncertain"]),
        fate=fate,
        fate_day=fate_day,
    )


def _fate(case):
    """What became of the main piece and when, as far as the last clinic knows."""
    out = next((p.day for p in case.procedures if p.code in REMOVES_GEAR and p.result == "success"), None)
    passed = next((f.day for f in case.findings if f.code == "gear_passed"), None)
    if out is not None:
        return "removed", out
    if passed is not None:
        return "passed", passed
    is_over = case.status == "final" and case.outcome != "transferred_out"
    return ("left_in" if is_over else ""), None

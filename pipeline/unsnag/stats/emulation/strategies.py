"""A strategy is a target daily chance of an intervention, given the day and what was known by then.

Strategies are plain data, as they stand in questions.toml:

    {kind = "usual_care"}
    {kind = "retrieve_within", days = 7, forced_over = 3, means = "endoscopy"}     # means may be left out
    {kind = "watch_at_least", days = 21}
    {kind = "watch_then", if_worse = true, if_unmoved_at = 14, within = 3}
    {kind = "first_means", means = "surgery"}
    {kind = "line_cut_and_left", days = 1, forced_over = 2}

Any number may differ by taxon group: ``by_taxon_group = {sea_turtle = {days = 14}}``.

Forced interventions are spread evenly over the last ``forced_over`` days of a window, with chances 1/3, 1/2, 1 for
three days: forcing all on one day would let a few animals stand for very many.
"""

from dataclasses import dataclass, field

import numpy as np

MEANS = ("endoscopy", "surgery", "manual")
KINDS = {
    "usual_care": {},
    "retrieve_within": {"days": None, "forced_over": 3, "means": ""},
    "watch_at_least": {"days": None},
    "watch_then": {"if_worse": True, "if_unmoved_at": -1, "within": 3},
    "first_means": {"means": None},
    "line_cut_and_left": {"days": None, "forced_over": 3},
}


@dataclass(frozen=True)
class Strategy:
    """One strategy: its kind, its settings with defaults filled in, and settings that differ by taxon group."""

    name: str
    kind: str
    settings: dict
    by_taxon_group: dict = field(default_factory=dict)

    @property
    def means(self):
        """Means demanded of the first retrieval, "" if any will do."""
        return self.settings.get("means", "")

    def setting(self, key, taxon_group):
        """Setting ``key`` for each element of the text array ``taxon_group``, an array of the same length."""
        value = np.full(np.shape(taxon_group), self.settings[key])
        for group, own in self.by_taxon_group.items():
            value = np.where(taxon_group == group, own.get(key, self.settings[key]), value)
        return value


def compile_strategy(name, plain):
    """Check a strategy given as plain data and fill in what it leaves out.

    name  : text, how the strategy is called in results
    plain : dict as in the module docstring
    Raises  ValueError: an unknown kind or setting, one that is missing, or a value that makes no sense
    """
    given = {key: value for key, value in plain.items() if key not in ("kind", "by_taxon_group")}
    known = KINDS.get(plain.get("kind"))
    if known is None:
        raise ValueError(
            f"strategy '{name}': kind '{plain.get('kind')}' is not known; use one of {', '.join(KINDS)}"
        )
    by_group = plain.get("by_taxon_group", {})
    if any("means" in own for own in by_group.values()):
        raise ValueError(
            f"strategy '{name}': means cannot differ by taxon group; plan two comparisons instead"
        )
    settings = known | given
    for own in (settings, *(settings | group for group in by_group.values())):
        _check_settings(name, plain["kind"], own)
    return Strategy(name, plain["kind"], settings, by_group)


def _check_settings(name, kind, settings):
    known = KINDS[kind]
    for key, value in settings.items():
        if key not in known:
            raise ValueError(
                f"strategy '{name}': '{kind}' has no setting '{key}'; it has {', '.join(known) or 'none'}"
            )
        if value is None:
            raise ValueError(f"strategy '{name}': '{kind}' needs '{key}'; add it")
        if key == "means" and value not in (*MEANS, known["means"]):
            raise ValueError(
                f"strategy '{name}': means '{value}' is not known; use one of {', '.join(MEANS)}"
            )
        if (key in ("forced_over", "within") and value < 1) or (key == "days" and value < 0):
            raise ValueError(
                f"strategy '{name}': {key} = {value} leaves no day to act on; give a larger number"
            )


def retrieval_target(strategy, taxon_group, day, worse_days, unmoved_days):
    """Target chance of a first retrieval on a day on which the gear is still carried.

    strategy                  : Strategy
    taxon_group               : text array (n,)
    day, worse_days, unmoved_days : int, or int array (n,); spells as in PersonDays, -1 outside one
    Returns                     float array (n,); nan where the strategy follows usual practice
    """
    usual = np.full(np.shape(taxon_group), np.nan)
    if strategy.kind == "retrieve_within":
        return _forced(day, *(strategy.setting(key, taxon_group) for key in ("days", "forced_over")))
    if strategy.kind == "watch_at_least":
        return np.where(day < strategy.setting("days", taxon_group), 0.0, usual)
    if strategy.kind == "watch_then":
        return _triggered(strategy, taxon_group, day, worse_days, unmoved_days)
    if strategy.kind == "line_cut_and_left":
        return np.zeros_like(usual)
    return usual


def line_target(strategy, taxon_group, day):
    """Target chance of cutting the line on a day on which it still trails; shapes as in retrieval_target."""
    if strategy.kind != "line_cut_and_left":
        return np.full(np.shape(taxon_group), np.nan)
    return _forced(day, *(strategy.setting(key, taxon_group) for key in ("days", "forced_over")))


def _forced(day, days, forced_over):
    """Usual practice, then 1/k, 1/(k-1), ... 1 over the last k days of a window that ends on day ``days``."""
    left = days - day + 1
    return np.where(left > forced_over, np.nan, 1 / np.maximum(left, 1))


def _triggered(strategy, taxon_group, day, worse_days, unmoved_days):
    """Chance zero until a finding calls for retrieval, then forced over the ``within`` days from that day."""
    if_worse, unmoved_at, within = (
        strategy.setting(key, taxon_group) for key in ("if_worse", "if_unmoved_at", "within")
    )
    since_worse = np.where(if_worse, worse_days, -1)
    since_unmoved = np.where(unmoved_at >= 0, np.minimum(unmoved_days, day - unmoved_at), -1)
    since = np.maximum(since_worse, since_unmoved)
    return np.where(since < 0, 0.0, 1 / np.maximum(within - since, 1))

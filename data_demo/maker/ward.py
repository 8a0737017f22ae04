"""All animals in care at once, as arrays, and the log of what happens to them."""

import numpy as np

from maker import rates as r

LAST_FOLLOW_UP_DAY = 260
FILM_PASSED, FILM_MOVED, FILM_UNMOVED, WORSE, BETTER, ATTEMPT, TRANSFER = range(7)


def attempt(kind, success, trouble, again, died):
    """What an attempt was like, packed into one number for the log."""
    return kind + 10 * success + 100 * trouble + 1000 * again + 10000 * died


def unpacked(detail):
    """The reverse of ``attempt``, as a dictionary."""
    names = ("kind", "success", "trouble", "again", "died")
    return {name: detail // 10**place % 10 for place, name in enumerate(names)}


class Ward:
    """The state of n animals. Those that have ended are dropped from all arrays but ``end`` and ``end_day``.

    gear         still carries it                     tried    a retrieval (or disentangling, or chelation) was tried
    worse_since  day of getting worse, -1 if not      failed   the latest attempt failed
    unmoved_since  first day of the present run of films without movement, -1 if none
    eased        line cut with the hook left, or chelated with the lead retained
    ready        first day on which it may go home
    """

    def __init__(self, animals, keep_log=True):
        for name in ("problem", "site", "severity", "line", "clinic", "pace"):
            setattr(self, name, animals[name].copy())
        count = len(self.problem)
        self.case = np.arange(count)
        self.gear = self.problem != r.OTHER
        for name in ("tried", "failed", "eased"):
            setattr(self, name, np.zeros(count, dtype=bool))
        self.worse_since, self.unmoved_since = np.full(count, -1), np.full(count, -1)
        self.next_film = np.where(r.FILM_EVERY[self.problem] > 0, r.FILM_EVERY[self.problem], -1)
        self.last_film = np.zeros(count, dtype=int)
        self.ready = np.where(self.gear, r.READY_WITH_GEAR[self.problem], r.OTHER_STAYS[self.severity])
        self.log, self.keep_log = [], keep_log
        self.end, self.end_day = np.full(count, r.IN_CARE), np.full(count, LAST_FOLLOW_UP_DAY)

    @property
    def worse(self):
        return self.worse_since >= 0

    def close(self, over, end, day):
        """End the follow-up of the animals in ``over``."""
        if over.any():
            self.end[self.case[over]], self.end_day[self.case[over]] = end[over], day
            for name, value in list(vars(self).items()):
                if isinstance(value, np.ndarray) and name not in ("end", "end_day"):
                    setattr(self, name, value[~over])

    def note(self, day, event, mask, detail=0):
        """Log that ``event`` happened today to the animals in ``mask``; ``detail`` is a number or an int array (n,)."""
        if self.keep_log and mask.any():
            cases = self.case[mask]
            details = np.broadcast_to(detail, mask.shape)[mask]
            self.log.append((cases, np.full(len(cases), day), np.full(len(cases), event), details))

    def events_by_case(self):
        """The log as one list of (day, event, detail) a case, in order."""
        events = [[] for _ in self.end]
        for cases, days, kinds, details in self.log:
            for case, *event in zip(
                cases.tolist(), days.tolist(), kinds.tolist(), details.tolist(), strict=True
            ):
                events[case].append(tuple(event))
        return events

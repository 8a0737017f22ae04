"""How well stays were joined, against a truth: python tests/link_truth.py WORKSPACE prints the score and each miss."""

import csv
import sys
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from unsnag.databases import reading


@dataclass(frozen=True)
class Score:
    """Links of one kind: those that are right, those that are wrong, and true ones that were not made."""

    kind: str
    right: tuple[tuple[str, str], ...]
    wrong: tuple[tuple[str, str], ...]
    missed: tuple[tuple[str, str], ...]

    @property
    def precision(self) -> float:
        return len(self.right) / max(len(self.right) + len(self.wrong), 1)

    @property
    def recall(self) -> float:
        return len(self.right) / max(len(self.right) + len(self.missed), 1)


def true_cases(path: Path) -> dict[str, list[dict]]:
    """Case → its stays in order, as a truth/stays.csv tells them."""
    cases: dict[str, list[dict]] = {}
    with path.open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            row["stay_id"] = f"{row['clinic']}:{row['case_number']}"
            cases.setdefault(row["case_id"], []).append(row)
    return {case: sorted(rows, key=_when) for case, rows in cases.items()}


def _when(row: dict) -> tuple:
    return row["second_entry"], row["from_date"], row["until_date"] or "9999"


def true_links(cases: dict[str, list[dict]]) -> dict[str, set[tuple[str, str]]]:
    """Kind → the pairs that one animal's stays make."""
    links = {"hand_over": set(), "second_entry": set()}
    for rows in cases.values():
        stays = [row for row in rows if row["second_entry"] == "no"]
        links["hand_over"] |= {(one["stay_id"], next_["stay_id"]) for one, next_ in pairwise(stays)}
        for row in rows:
            if row["second_entry"] == "yes":
                (first,) = (stay["stay_id"] for stay in stays if stay["clinic"] == row["clinic"])
                links["second_entry"].add((first, row["stay_id"]))
    return links


def score(made: set[tuple[str, str, str]], cases: dict[str, list[dict]]) -> list[Score]:
    """A link made is right if both stays are one true case's; a true one is found if its stays are in one made case.

    made : (kind, earlier stay, later stay)
    """
    true_case = {row["stay_id"]: case for case, rows in cases.items() for row in rows}
    group: dict[str, str] = {}

    def head(stay: str) -> str:
        while stay in group:
            stay = group[stay]
        return stay

    for _, earlier, later in sorted(made):
        if head(earlier) != head(later):
            group[head(later)] = head(earlier)
    scores = []
    for kind, true in true_links(cases).items():
        of_kind = {(earlier, later) for each, earlier, later in made if each == kind}
        wrong = {pair for pair in of_kind if true_case[pair[0]] != true_case[pair[1]]}
        missed = {pair for pair in true if head(pair[0]) != head(pair[1])}
        scores.append(Score(kind, *(tuple(sorted(pairs)) for pairs in (true - missed, wrong, missed))))
    return scores


def made_links(store: Path) -> set[tuple[str, str, str]]:
    """The links of a store; an animal of a clutch's record stands for the record."""
    with reading(store) as connection:
        rows = connection.execute(
            """select links.kind, before.incident_id, after.incident_id from link.links as links
            inner join link.compared_stays as before on links.earlier_stay_id = before.stay_id
            inner join link.compared_stays as after on links.later_stay_id = after.stay_id"""
        ).fetchall()
    return set(rows)


def show(scores: list[Score]) -> None:
    """Print the scores, and every wrong or missed pair."""
    for each in scores:
        print(
            f"{each.kind}: {len(each.right)} right, {len(each.wrong)} wrong, {len(each.missed)} missed; "
            f"precision {each.precision:.3f}, recall {each.recall:.3f}"
        )
        for word, pairs in (("wrong", each.wrong), ("missed", each.missed)):
            for pair in pairs:
                print(f"  {word}: {' -> '.join(pair)}")


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    truth = true_cases(folder / "truth" / "stays.csv")
    show(score(made_links(folder / "store" / "cases.duckdb"), truth))

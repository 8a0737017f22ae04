"""Make the invented demo workspace, the same bytes every time.

python data_demo/maker/make.py                          the demo, in place
python data_demo/maker/make.py --cases 1000000 --to DIR the same layouts at any size, for benchmarks
"""

import argparse
import shutil
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from maker import animals, geography, planted, readmissions, stories, truth
from maker.clinics.lantern_rock import LanternRock
from maker.clinics.marea_alta import MareaAlta
from maker.clinics.quennaby import Quennaby
from maker.clinics.skerrandine import Skerrandine
from maker.clinics.tern_street import TernStreet
from maker.lexicon import write_terms
from maker.register import Register

DEMO = Path(__file__).resolve().parents[1]
CASES, BATCH = 1800, 20000
WRITERS = [MareaAlta, Quennaby, LanternRock, TernStreet, Skerrandine]
BY_HAND = [
    "network.toml",
    "questions.toml",
    "cohorts.toml",
    "README.md",
    "decisions",
    "places/siting.toml",
    *[f"clinics/{w.clinic}/clinic.toml" for w in WRITERS],
]


def copy_by_hand(to):
    """What people wrote by hand goes along when the workspace is made elsewhere."""
    for name in BY_HAND:
        source, target = DEMO / name, to / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.is_dir():
            shutil.copytree(source, target, dirs_exist_ok=True)
        else:
            shutil.copyfile(source, target)


def write_batch(writers, register, truths, herd, batch):
    cases = stories.tell(herd, batch, first_number=batch * BATCH + 1)
    readmissions.readmit(cases, batch)
    for case, stay in register.enter(cases):
        if stay.second_entry:
            writers[stay.clinic].dirt.add("second_number", stay.number)
        writers[stay.clinic].write(case, stay)
    for case in cases:
        truths.write(case)


def make(cases, to):
    if to != DEMO:
        copy_by_hand(to)
    if cases != CASES:
        # Other numbers are other animals: what was decided of the demo's does not speak of them.
        decided = to / "decisions" / "links.csv"
        heading, *_ = decided.read_text(encoding="utf-8").splitlines(keepends=True)
        decided.write_text(heading, encoding="utf-8", newline="")
    geography.write_places(to / "places")
    writers = {writer.clinic: writer(to / "clinics" / writer.clinic / "exports") for writer in WRITERS}
    register, truths = Register(), truth.TruthWriter(to / "truth")
    for batch in range(-(-cases // BATCH)):
        herd = animals.draw(min(BATCH, cases - batch * BATCH), batch)
        write_batch(writers, register, truths, herd, batch)
        if batch == 0:
            planted.write_effects(to / "truth" / "effects.toml", herd)
    for writer in [*writers.values(), truths]:
        writer.close()
    for clinic in writers:
        write_terms(clinic, to / "clinics" / clinic / "terms.csv")
    planted.write_sites(to / "truth" / "sites.toml")
    planted.write_dirt(to / "truth" / "dirt.toml", writers)


def main():
    parser = argparse.ArgumentParser(description="Make the invented demo workspace.")
    parser.add_argument("--cases", type=int, default=CASES, help="how many cases (default: the demo's)")
    parser.add_argument(
        "--to", type=Path, default=DEMO, help="folder to write to (default: data_demo itself)"
    )
    arguments = parser.parse_args()
    make(arguments.cases, arguments.to.resolve())


if __name__ == "__main__":
    main()

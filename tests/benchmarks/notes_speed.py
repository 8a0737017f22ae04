"""How long a million distinct notes take on their way from notes.texts to notes.facts, as in a build.

PYTHONPATH=pipeline:tests nice -n 10 python tests/benchmarks/notes_speed.py [notes]

The mixture stands for a network whose clinics take in all wildlife: one note in twelve is a labelled tackle
note, the others are invented everyday intakes. Every text is distinct: remembering whole notes gains nothing,
while in a build what many stays say alike is read once. Processor time is what a busy machine does not change.
"""

import os
import random
import sys
import time

import duckdb
import pandas
from notes.labelled import invented_notes
from unsnag import notes_tables

TACKLE_SHARE = 1 / 12
AGES = ["Adult", "Juvenile", "Nestling", "Fledgling", "Hatchling", "Subadult female", "Old male"]
ANIMALS = [
    "magpie",
    "ringtail",
    "kookaburra",
    "noisy miner",
    "blue-tongue",
    "tawny frogmouth",
    "wood duck",
    "long-necked turtle",
    "rainbow lorikeet",
    "brushtail",
    "barn owl",
    "hedgehog",
    "pigeon",
    "silver gull",
    "swamp wallaby",
    "microbat",
]
CAUSES = [
    "found on road",
    "fell from nest",
    "hit window",
    "cat caught",
    "attacked by dog",
    "orphaned, mother not seen",
    "found in swimming pool",
    "unable to fly",
    "storm victim",
    "nest tree felled",
    "caller says not moving",
    "in garage",
]
STATES = [
    "thin and quiet",
    "bright and alert",
    "left wing droop",
    "no obvious injuries",
    "concussed",
    "puncture to chest",
    "dehydrated",
    "fractured humerus",
    "lice",
    "good body condition",
    "tail feathers missing",
    "weak, cold",
]
ENDS = [
    "fluids and heat",
    "to carer",
    "released at site",
    "died overnight",
    "PTS",
    "reunited with parents",
    "fed hourly",
    "anti-inflammatories, cage rest",
    "creched with others",
    "transferred",
    "for flight aviary next week",
    "observe",
]


def notes_of(count: int, seed: int = 7) -> list[str]:
    """Distinct notes of the mixture."""
    chance = random.Random(seed)
    tackle = [note.text for note in invented_notes()]
    texts = []
    for number in range(count):
        if chance.random() < TACKLE_SHARE:
            texts.append(f"{chance.choice(tackle)} No {number}")
        else:
            age, animal, cause, state, end = map(chance.choice, (AGES, ANIMALS, CAUSES, STATES, ENDS))
            texts.append(f"{age} {animal}, {cause}. {state}, {number} g. {end}.")
    return texts


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    with duckdb.connect() as connection:
        lay_out(connection, notes_of(count))
        start, busy_before = time.perf_counter(), sum(os.times()[:4])
        notes_tables.write(connection)
        seconds, busy = time.perf_counter() - start, sum(os.times()[:4]) - busy_before
        facts, notes = connection.execute(
            "select count(*), count(distinct text_number) from notes.facts"
        ).fetchone()
    print(f"{count} distinct notes: {seconds:.1f} s, {busy:.1f} s of processor time")
    print(f"{notes} of them say something, {facts} facts")


def lay_out(connection: duckdb.DuckDBPyConnection, texts: list[str]) -> None:
    """notes.texts, every note of a stay of its own."""
    frame = pandas.DataFrame({"text_number": range(1, len(texts) + 1), "text": texts})
    connection.register("written", frame)
    connection.execute("create schema notes")
    connection.execute(
        "create table notes.texts as select *, 'dmy' as date_order, date '2024-03-01' as admission_date, "
        "date '2024-06-01' as last_date from written"
    )


if __name__ == "__main__":
    main()

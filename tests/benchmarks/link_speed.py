"""How long linking takes: nice python tests/benchmarks/link_speed.py [STAYS]; one million by default.

Stays of sixty clinics over ten years; one in fourteen is handed over, a third of these without any number, and one in
two hundred is typed twice. Only the link room is timed, which is what linking adds to a build.
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import link_networks as networks
from unsnag import link

CLINICS, DAYS = 60, 3650
STAYS = f"""
with drawn as (
    select
        i, hash(i, 1) % {DAYS} as admitted, hash(i, 2) % {CLINICS} as clinic, hash(i, 3) % {CLINICS} as next_clinic,
        hash(i, 4) % 30 as stayed, hash(i, 5) % 1000 as lot, hash(i, 6) % 14 = 0 as goes_on,
        hash(i, 7) % 200 = 0 as is_twice, 200 + hash(i, 8) % 4000 as mass, hash(i, 9) % 300 as place,
        hash(i, 10) % 3 as sex, hash(i, 11) % 5 as stage, hash(i, 12) % 3 as named
    from range($stays) as numbers(i)
),

species as (
    select code, taxon_group, row_number() over () - 1 as number, count(*) over () as all_of_them
    from codes.species
),

animals as (
    select drawn.*, species.code as species_code, species.taxon_group as taxon_group_code
    from drawn inner join species on (lot * lot // 1000) % all_of_them = species.number
),

stays as (
    select *, clinic as at_clinic, '' as again, admitted as from_day, admitted + stayed as until_day from animals
    union all
    select *, (clinic + 1 + next_clinic % {CLINICS - 1}) % {CLINICS}, 'b', admitted + stayed, admitted + stayed + 20
    from animals where goes_on
    union all
    select *, clinic, 'c', admitted, admitted + stayed from animals where is_twice and not goes_on
)

insert into standard.stays by name
select
    'clinic_' || at_clinic || ':' || i || again as stay_id,
    stay_id as incident_id,
    'clinic_' || at_clinic as clinic,
    i || again as case_number,
    upper(i || again) as own_number,
    1 as animal_number,
    row_number() over () as record_id,
    if(again = 'b' and named > 0, i::varchar, null) as other_clinic_number,
    if(again = 'b' and named > 0, 'clinic_' || clinic, null) as other_clinic,
    if(again = '' and goes_on and named <> 1, 'clinic_' || (clinic + 1 + next_clinic % {CLINICS - 1}) % {CLINICS}, null)
        as transferred_to,
    date '2014-01-01' + from_day::integer as admission_date,
    date '2014-01-01' + until_day::integer as outcome_date,
    date '2014-01-01' + admitted::integer as found_date,
    'place ' || place as found_place,
    -36 + place / 300 as latitude,
    160 + (place % 17) / 17 as longitude,
    mass::double * if(again = 'b' and hash(i, 13) % 2 = 0, 1.03, 1.0) as mass_g,
    species_code,
    taxon_group_code,
    case sex when 0 then 'female' when 1 then 'male' else 'undetermined' end as sex_code,
    case when stage < 3 then 'adult' when stage = 3 then 'juvenile' else 'hatchling' end as life_stage_code,
    if(lot % 2 = 0, 'fishing_tackle', 'collision') as cause_code,
    if(again = '' and goes_on, 'transferred_out', if(lot % 3 = 0, 'died', 'released')) as outcome_code,
    'final' as outcome_status_code
from stays
"""


def main(stays: int) -> None:
    """Fill a store in memory, link it, and print the times."""
    connection = networks.opened(threads=2)
    networks.create_stays(connection)
    connection.execute(STAYS, {"stays": stays})
    networks.settle(connection)
    last = started = spent()

    def tell(what: str) -> None:
        nonlocal last
        now = spent()
        print(
            f"{now[0] - last[0]:7.1f} s, {now[1] - last[1]:7.1f} s of a processor, until {what}", flush=True
        )
        last = now

    link.build(connection, {}, tell, Path("decisions/links.csv"))
    tell("the end")
    for name in ("possible_pairs", "candidate_pairs", "stated_pairs", "links", "grey_pairs"):
        print(f"{connection.execute(f'select count(*) from link.{name}').fetchone()[0]:>12,} {name}")
    (number,) = connection.execute("select count(*) from standard.stays").fetchone()
    now = spent()
    print(f"{now[0] - started[0]:.1f} s, {now[1] - started[1]:.1f} s of a processor, for {number:,} stays")


def spent() -> tuple[float, float]:
    """Seconds on the clock, and of all processors: on a busy machine only the second tells the work."""
    return time.perf_counter(), time.process_time()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 930_000)

"""A workspace whose databases are made by hand: what is asked of them needs no build."""

import duckdb
import networks

SMALL = "case_number,admission_date\n1,2023-01-01\n"
PUBLIC = """
create schema public;
create table public.cases as
select 'c' || range as case_id, 2020 + range % 3 as admission_year, ['gull', 'swan'][1 + range % 2] as species_code,
    range as stay_days, range % 2 = 0 as is_tackle
from range(60);
create table public.release_rates as select 'all' as grouping, 30 as numerator, 60 as denominator, 50.0 as percent;
"""
PRIVATE = (
    "create schema mart; create table mart.cases as select 'Quenna Marl' as finder, 'tern_street' as clinic;"
)


def workspace(folder):
    """network.toml, one clinic, out/public.duckdb and store/cases.duckdb."""
    networks.write_network(folder)
    networks.write_clinic(folder, "tern_street", SMALL)
    for path, sql in (("out/public.duckdb", PUBLIC), ("store/cases.duckdb", PUBLIC + PRIVATE)):
        (folder / path).parent.mkdir()
        with duckdb.connect() as connection:
            connection.execute(f"attach '{folder / path}' as pooled; use pooled; {sql}")
    return folder

"""In which file a record stands, and in which order, does not change which stays are one animal's."""

import networks

FIELDS = "case_number,admission_date,species,sex,mass,cause,injury,gear,body_site,outcome,outcome_date,transferred_to"
NORTH = [
    "1,2023-03-01,emydura_macquarii,female,900,fishing_tackle,ingested,hook,stomach,transferred_out,2023-03-04,south\n",
    "2,2023-03-02,emydura_macquarii,male,700,fishing_tackle,embedded,hook,mouth,transferred_out,2023-03-05,south\n",
    "3,2023-03-09,larus_argentatus,female,950,fishing_tackle,embedded,hook,wing,released,2023-03-12,\n",
]
SOUTH = [
    "7,2023-03-04,emydura_macquarii,female,902,fishing_tackle,ingested,hook,stomach,released,2023-05-04,\n",
    "8,2023-03-05,emydura_macquarii,male,699,fishing_tackle,embedded,hook,mouth,died,2023-03-06,\n",
]
LINKS = "select earlier_stay_id, later_stay_id, basis, round(weight, 9) from link.links order by all"
CASES = "select case_id, stay_count, outcome_code, stay_days from mart.cases order by all"


def built(folder, north, south):
    """Two clinics, each file a list of rows."""
    networks.write_network(folder)
    for name, files in (("north", north), ("south", south)):
        texts = {f"{number}.csv": f"{FIELDS}\n" + "".join(rows) for number, rows in enumerate(files)}
        networks.write_clinic(folder, name, texts)
    return networks.build(folder)


def test_order_of_files_and_of_rows_changes_no_case(tmp_path):
    plain = built(tmp_path / "plain", [NORTH], [SOUTH])
    other = built(tmp_path / "other", [[NORTH[2]], [NORTH[1], NORTH[0]]], [[SOUTH[1]], [SOUTH[0]]])
    assert plain.rows(LINKS) == other.rows(LINKS) and plain.rows(CASES) == other.rows(CASES)
    assert {row[:2] for row in plain.rows(LINKS)} == {("north:1", "south:7"), ("north:2", "south:8")}

"""The command that hands a cohort on."""

from pathlib import Path
from typing import Annotated

import typer

from unsnag import run
from unsnag.share.citing import VERSION
from unsnag.share.extract import write_extract
from unsnag.terminal import out
from unsnag.workspace import load

Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Cohort = Annotated[
    str, typer.Argument(metavar="COHORT", help="A cohort of cohorts.toml, or tackle_cases, or all_cases.")
]
To = Annotated[
    Path, typer.Option("--to", metavar="DIR", help="The folder to write; a new one, or an earlier extract.")
]


def extract(workspace: Folder, cohort: Cohort, to: To) -> None:
    """Write the published cases of a cohort with codebook, citation and the query that gives them."""
    place = load(workspace)
    run.require(place.public, f"unsnag run {workspace}")
    made = write_extract(place.public, cohort, to, place.network.publication.minimum_cell)
    out.print(f"{to}: {made.described.sentence}", highlight=False, soft_wrap=True)
    version = f"Version {made.described.version} ({VERSION}); cite it as CITATION.cff says."
    for said in (version, made.described.use):
        out.print(said, highlight=False, soft_wrap=True, markup=False)
    for known in made.small:
        if known.cases:
            words = ", ".join(column.removesuffix("_code").replace("_", " ") for column in known.columns)
            out.print(
                f"{known.cases} of {known.of_cases} cases are alike in {words} with fewer than {known.minimum} in all.",
                highlight=False,
                soft_wrap=True,
            )

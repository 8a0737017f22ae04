"""Where the shipped folders are: beside the code in a checkout, inside the package when installed from a wheel."""

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """The folder ``sql``, ``dashboards`` or ``data_demo``.

    The checkout comes first, so that a contributor's edit is used at once.

    Raises  FileNotFoundError: neither a checkout nor a complete wheel is there
    """
    checkout = PACKAGE.parent.parent
    if (checkout / "pyproject.toml").is_file() and (checkout / name).is_dir():
        return checkout / name
    shipped = PACKAGE / "shipped" / name
    if not shipped.is_dir():
        raise FileNotFoundError(f"The folder {name} is missing from this installation; install unsnag again.")
    return shipped

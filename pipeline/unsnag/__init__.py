"""unsnag pools case records of wildlife clinics and asks which interventions work for animals injured by tackle."""

__version__ = "0.1.0"


def open(workspace):
    """The published cases of a workspace, for work in Python.

    workspace : the folder that holds network.toml
    Returns     unsnag.share.opened.Opened: ``cases(cohort=…)``, ``table(name)``, ``ask(sql)``
    Raises      Problem: nothing has been published there yet

    >>> import unsnag
    >>> cases = unsnag.open("our-network").cases(cohort="tackle_cases")
    """
    # `import unsnag` stays light: it is what every command begins with.
    from unsnag.share.opened import Opened

    return Opened(workspace)

"""The workspace room: a folder of settings and exports → frozen objects, or every problem of every file at once."""

from unsnag.workspace.blocks import Block, Cell, Facts
from unsnag.workspace.clinic import Clinic, Source
from unsnag.workspace.load import Workspace, load
from unsnag.workspace.network import Network
from unsnag.workspace.terms import Term

__all__ = ["Block", "Cell", "Clinic", "Facts", "Network", "Source", "Term", "Workspace", "load"]

"""Councils, sites and bins: files of the workspace → checked objects → place.*, and where each case lies among them."""

from unsnag.places.locate import locate
from unsnag.places.places import Bin, Council, Places, Site
from unsnag.places.read import read_places
from unsnag.places.tables import write

__all__ = ["Bin", "Council", "Places", "Site", "locate", "read_places", "write"]

"""Many notes at once: distinct texts first, on all processors that are asked for, the same frame whatever their number."""

import datetime
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from itertools import batched
from pathlib import Path

import pandas

from unsnag.notes.mention import Mention
from unsnag.notes.read import Read, reader, with_day
from unsnag.notes.rules import load_rules

"""Where the logbook is: in the rider's own data folder at home, nowhere on a published server.

The server tells its pages by an environment variable; without it, nothing is stored.
"""

import os
from pathlib import Path

import platformdirs

from explorer.records.logbook.logbook_store import FILE_NAME, LogbookStore
from explorer.records.logbook.logbook_visit import VisitLogbook

FOLDER_VARIABLE = "GEARING_EXPLORER_LOGBOOK"
"""Names the folder of the logbook; set by the server for a rider at home only."""

Logbook = LogbookStore | VisitLogbook


def home_folder() -> Path:
    """The folder that this system gives a program for a user's data, such as
    ~/.local/share/gearing-explorer on Linux, where XDG_DATA_HOME may say otherwise."""
    return Path(platformdirs.user_data_dir("gearing-explorer", appauthor=False))


def logbook_file() -> Path | None:
    """The file of the rider's logbook; None on a server that stores nothing."""
    folder = os.environ.get(FOLDER_VARIABLE, "")
    return Path(folder) / FILE_NAME if folder else None


def open_logbook() -> Logbook:
    """The logbook of this page: the rider's own file if the server named a folder, or one for this
    visit. LogbookHurt if only a backup or a new logbook helps."""
    file = logbook_file()
    return LogbookStore(file.parent) if file else VisitLogbook()

"""Files on this machine that are on the disk when they are said to be."""

import os
from pathlib import Path
from typing import IO

from django.core.files.storage import FileSystemStorage


class SyncedFiles(FileSystemStorage):
    """Django's own, which leaves it to the system when to write: the phone deletes its copy some
    time after it was told that the photo is here."""

    def _save(self, name: str, content: IO[bytes]) -> str:
        saved: str = super()._save(name, content)  # type: ignore[misc]  # Django's own seam
        path = Path(self.path(saved))
        for each in (path, path.parent):
            descriptor = os.open(each, os.O_RDONLY)
            try:
                os.fsync(descriptor)
            finally:
                os.close(descriptor)
        return saved

"""Two folders change places in one step, where the system can do that."""

from __future__ import annotations

import os
from pathlib import Path

_HERE, _EXCHANGE = -100, 2  # AT_FDCWD and RENAME_EXCHANGE of renameat2(2)


def exchange(one: Path, other: Path) -> None:
    """Let two folders of one file system change places: whoever looks sees the one state or the other.

    Raises
    ------
    OSError
        Where the system, the file system or the folders (a mount point) do not allow it: nothing has changed.
    """
    import ctypes

    try:
        rename = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        raise OSError(38, "Folders cannot be swapped on this system", str(other)) from None
    rename.argtypes = [ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_uint]
    if rename(_HERE, os.fsencode(one), _HERE, os.fsencode(other), _EXCHANGE) != 0:
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number), str(other))

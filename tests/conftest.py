"""What holds for all tests."""

from __future__ import annotations

import signal

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    # a shell without job control lets what it starts in the background ignore Ctrl-C: the command then rightly does
    # so too, and its tests send it
    signal.signal(signal.SIGINT, signal.default_int_handler)

"""The commands, one module each: they read, call and show, and say by their exit code how it ended."""

"""Why a layout is as it is."""

"""What follows from a layout: loading and energy per condition."""

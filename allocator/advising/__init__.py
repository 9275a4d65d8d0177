"""What follows from a layout: loading, margins, energy, failures, headroom; layouts side by side."""

"""What may be asked of one finished layout, or of several: margins, failures, energy, headroom, comparison."""

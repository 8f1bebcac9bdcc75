"""wringout: what a light airplane will really do for your work, from its papers and its flight recordings."""

"""wringout: what a light airplane will really do for your work, from its description and its flight recordings."""

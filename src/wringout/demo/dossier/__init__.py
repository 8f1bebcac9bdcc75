"""The files of the invented dossier that a person wrote; cards and recordings come from the simulator."""

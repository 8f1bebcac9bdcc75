"""The workbench: local pages over dossiers, the same job as the commands."""

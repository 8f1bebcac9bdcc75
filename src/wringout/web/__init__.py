"""The workbench in the browser: local pages over a folder of dossiers. Pages compute nothing."""

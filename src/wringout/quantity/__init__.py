"""Text with a unit ↔ SI float; value ± uncertainty with its origin."""

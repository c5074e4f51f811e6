"""The workbench: a local page that shows a study live. No arithmetic here."""

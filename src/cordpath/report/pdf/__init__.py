"""Review marks and schedule pages as PDF: drawn, placed, written without touching what is signed."""

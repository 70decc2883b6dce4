"""Stage 7: an edition of the code, as data, judges every outlet: requirement, protection, verdict, reasons."""

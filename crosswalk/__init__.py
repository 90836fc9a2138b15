"""Spreadsheets about tapes, discs, reels and files to PBCore, Dublin Core and RDF, with every cell accounted for."""

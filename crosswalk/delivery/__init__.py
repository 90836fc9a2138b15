"""What a job asks for, and output folders that are put in place whole."""

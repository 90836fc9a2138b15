"""The rights review and the gate: held stays held."""

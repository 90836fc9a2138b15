"""The engine of the crosswalk tables: what `mappings/crosswalks/<standard>.toml` says, applied in both directions."""

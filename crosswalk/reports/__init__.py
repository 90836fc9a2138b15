"""Reports: findings and sums in, text for people and files for programs out."""

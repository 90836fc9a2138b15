"""The only place that joins stages: sheets, mapping, checks, rights, standards, delivery. Data flows one way."""

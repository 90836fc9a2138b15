"""Rules about records, one module a family. A new rule is one function here, a row in the code table, its cases."""

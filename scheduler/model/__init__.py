"""The only importer of the solver: one file a family of rules, then building, solving and
searching."""

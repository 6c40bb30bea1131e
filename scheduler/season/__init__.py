"""What the board reads over a period: records of its weeks, measures, shares, bills, trails."""

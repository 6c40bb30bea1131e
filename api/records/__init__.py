"""What the kitchen's book keeps, as plain frozen values: one class a kind of page in the book.

A number of 0 is not given yet: the store gives it when the record is added.
"""

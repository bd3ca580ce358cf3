"""The rules of the sport, one module per rule: pure functions over plain values,
marks in whole thousandths.

Nothing here reads a file, knows a clock or a language, or sees a page.
"""

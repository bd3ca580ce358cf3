"""The rules applied to a meet: who is in it, lists, ties, teams, cuts, finals, start lists.

`judging` begins; `results` is all that comes out, and `unsettled` what keeps it back.
"""

"""What a text says of how many moves do something, or that one alone does: words, forms, the moves beside them, claims.

`words` writes a sentence as a row of letters, one for each kind of word; `forms` are patterns of such rows that say
"only", "no other" or a number; `beside` finds the moves that they are said of; `claims` places what is claimed.
"""

"""One mistake at a time: what the checks find of it, and what they cry over that is none.

`corpus` holds the clean recipes and every number, unit and name in them; `operators` the slips of a cook, fixed before
any rule was tuned to them; `situations` says which slips nobody could know from the page; `plant` plants and judges;
`legal` makes edits that must stay silent.
"""

"""Who must not have what, what they use instead, and where they sit.

In: lesson, class day and larder; needs in people's own words.
Out: everybody's changes, own tools and checks of packs; problems for what nobody may decide alone. Confidential: only
``shareable`` and what everybody is told leave this room for shared paper.
"""

__all__ = ["cross_contact", "needs_sheet", "resolving", "stated", "terms"]

"""Who works when: the roster, its repair, and why a place stays open. Pure, values in, values out."""

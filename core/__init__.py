"""The farm: its words, rules, acts and books. Knows nothing of phones, web pages or what time it is now."""

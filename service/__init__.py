"""How people reach the farm: texts in and out, the conversation, the clockwork, and the pages."""

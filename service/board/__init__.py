"""The coordinator's pages: one file a page, on a frame that signs people in and speaks their language."""

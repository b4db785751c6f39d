"""The practice phone: a page where one texts as anybody of the farm and sees what comes back."""

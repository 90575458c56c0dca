"""Minutes and indexes become moments and words, shared by all questions."""

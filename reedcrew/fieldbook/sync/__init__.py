"""Taking in what phones wrote down without a network: in any order, from several phones, more than once."""

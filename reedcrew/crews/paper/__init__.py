"""The paper for the clipboard: one PDF of a day, for when phones are wet, flat or without signal."""

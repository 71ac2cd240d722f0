"""Pages of the mail: outbox, inbox, and the links in mails."""

"""Work of earlier seasons in a spreadsheet: reading it row by row, naming its columns, judging each row."""

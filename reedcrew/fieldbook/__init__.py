"""The day itself: sign-in, sign-out, stems and loads."""

"""Addresses of the stock."""

from django.urls import path

from reedcrew.stock.views import care, lines, sets

app_name = "stock"
STOCK = "g/<slug:slug>/stock/"
urlpatterns = [
    path(STOCK, lines.stock, name="stock"),
    path(f"{STOCK}new/", lines.add_line, name="add_line"),
    path(f"{STOCK}first/", lines.first_count, name="first_count"),
    path(f"{STOCK}<int:pk>/", lines.line, name="line"),
    path(f"{STOCK}<int:pk>/movements/new/", lines.record_movement, name="record_movement"),
    path(f"{STOCK}<int:pk>/labels/new/", lines.give_labels, name="give_labels"),
    path(f"{STOCK}set/<slug:code>/", sets.gear_set, name="set"),
    path(f"{STOCK}set/<slug:code>/move/", sets.move_set, name="move_set"),
    path(f"{STOCK}set/<slug:code>/edit/", sets.keep_set, name="keep_set"),
    path(f"{STOCK}labels/", sets.labels, name="labels"),
    path(f"{STOCK}care/", care.care, name="care"),
    path(f"{STOCK}loans/", care.loans, name="loans"),
    path(f"{STOCK}loans/borrow/", care.borrow, name="borrow"),
    path(f"{STOCK}loans/lend/", care.lend, name="lend"),
    path(f"{STOCK}loans/<int:pk>/<int:line>/return/", care.return_loan, name="return_loan"),
]

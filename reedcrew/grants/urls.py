"""Addresses of the hours ledger and of grants."""

from django.urls import path

from reedcrew.grants.views import certificates, days, earlier, grants, hours, open_data, rates, reports, season

app_name = "grants"
urlpatterns = [
    path("g/<slug:slug>/hours/", hours.hours, name="hours"),
    path("g/<slug:slug>/hours/hours.csv", hours.hours_csv, name="hours_csv"),
    path("g/<slug:slug>/hours/stems.csv", hours.stems_csv, name="stems_csv"),
    path("g/<slug:slug>/hours/<int:pk>/", hours.entry, name="entry"),
    path("g/<slug:slug>/hours/<int:pk>/correct/", hours.correct, name="correct"),
    path("g/<slug:slug>/hours/<int:pk>/release/", hours.release, name="release"),
    path("g/<slug:slug>/hours/<int:pk>/evidence/", hours.evidence, name="evidence"),
    path("g/<slug:slug>/hours/approval/", days.approvals, name="approvals"),
    path("g/<slug:slug>/hours/values/", rates.rates, name="rates"),
    path("g/<slug:slug>/hours/values/new/", rates.record_rate, name="record_rate"),
    path("g/<slug:slug>/hours/values/<int:pk>/withdraw/", rates.withdraw_rate, name="withdraw_rate"),
    path("g/<slug:slug>/days/<int:pk>/hours/", days.day_hours, name="day_hours"),
    path("g/<slug:slug>/days/<int:pk>/hours/approve/", days.approve, name="approve"),
    path("g/<slug:slug>/days/<int:pk>/hours/reopen/", days.reopen, name="reopen"),
    path("g/<slug:slug>/days/<int:pk>/hours/add/", days.add_hours, name="add_hours"),
    path("g/<slug:slug>/hours/earlier/", earlier.earlier, name="earlier"),
    path("g/<slug:slug>/hours/earlier/<int:pk>/", earlier.earlier_file, name="earlier_file"),
    path("g/<slug:slug>/hours/earlier/<int:pk>/take-over/", earlier.take_over, name="take_over"),
    path("g/<slug:slug>/hours/earlier/<int:pk>/undo/", earlier.undo_earlier, name="undo_earlier"),
    path("g/<slug:slug>/hours/earlier/<int:pk>/remove/", earlier.put_aside, name="put_aside"),
    path("g/<slug:slug>/grants/", grants.grants, name="grants"),
    path("g/<slug:slug>/grants/new/", grants.new_grant, name="new_grant"),
    path("g/<slug:slug>/grants/<int:pk>/", grants.grant, name="grant"),
    path("g/<slug:slug>/grants/<int:pk>/edit/", grants.edit_grant, name="edit_grant"),
    path("g/<slug:slug>/grants/<int:pk>/claims/", grants.claims, name="claims"),
    path("g/<slug:slug>/grants/<int:pk>/claim/", grants.claim, name="claim"),
    path("g/<slug:slug>/grants/<int:pk>/reports/new/", grants.add_reporting_date, name="add_reporting_date"),
    path("g/<slug:slug>/grants/<int:pk>/reports/<int:date>/sent/", grants.report_sent, name="report_sent"),
    path(
        "g/<slug:slug>/grants/<int:pk>/reports/<int:date>/remove/",
        grants.remove_reporting_date,
        name="remove_reporting_date",
    ),
    path("g/<slug:slug>/grants/<int:pk>/report/", reports.report, name="report"),
    path("g/<slug:slug>/grants/<int:pk>/report/file/", reports.order_export, name="order_export"),
    path(
        "g/<slug:slug>/grants/<int:pk>/report/<slug:chart>.<slug:theme>.svg", reports.report_chart, name="report_chart"
    ),
    path("g/<slug:slug>/grants/files/<int:pk>/", reports.export, name="export"),
    path("g/<slug:slug>/grants/files/<int:pk>/again/", reports.retry_export, name="retry_export"),
    path("g/<slug:slug>/grants/files/<int:pk>/file/", reports.export_file, name="export_file"),
    path("g/<slug:slug>/people/<int:pk>/hours/", certificates.my_hours, name="my_hours"),
    path("g/<slug:slug>/people/<int:pk>/hours/certificate.pdf", certificates.certificate_file, name="certificate"),
    path("g/<slug:slug>/grants/families/new/", grants.new_family, name="new_family"),
    path("g/<slug:slug>/grants/families/<int:pk>/", grants.edit_family, name="edit_family"),
    path("g/<slug:slug>/season/", season.season, name="season"),
    path("g/<slug:slug>/season/<int:year>/<slug:chart>.<slug:theme>.svg", season.season_chart, name="season_chart"),
    path("g/<slug:slug>/season/open-data/", open_data.open_data, name="open_data"),
    path("g/<slug:slug>/season/open-data/choose/", open_data.change_open_data, name="change_open_data"),
    path("g/<slug:slug>/season/open-data/darwin-core.zip", open_data.darwin_core, name="darwin_core"),
    path("g/<slug:slug>/season/open-data/stands.geojson", open_data.stands_geojson, name="stands_geojson"),
]

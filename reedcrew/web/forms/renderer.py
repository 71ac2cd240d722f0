"""How ``{{ form }}`` and ``{{ form.name.as_field_group }}`` look."""

from django.forms.renderers import TemplatesSetting


class ElementRenderer(TemplatesSetting):
    """Renders forms with the elements of templates/web/form; named by the setting FORM_RENDERER.

    Widgets come from the project's template engine, so "django.forms" must stand in INSTALLED_APPS.
    """

    form_template_name = "web/form/form.html"
    formset_template_name = "web/form/formset.html"
    field_template_name = "web/form/field.html"

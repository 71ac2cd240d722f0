"""Signing in on the way to something else: a page that asks for an address itself, and goes on once the code is in."""

from urllib.parse import urlencode

from allauth.account.internal.flows.login_by_code import LoginCodeVerificationProcess
from django.forms import Form
from django.http import HttpRequest, HttpResponseRedirect
from django.shortcuts import redirect
from django.urls import reverse

from reedcrew.people.forms.sign_in import SignInForm


def ask_for_code(request: HttpRequest, form: Form, *, then: str) -> HttpResponseRedirect | None:
    """Mail a code to the ``email`` of a valid form, and lead to the page that takes it and afterwards to ``then``.

    The same as the sign-in page does, with its limits: where they are reached, None and a sentence at the form's field.
    """
    asked = SignInForm({"email": form.cleaned_data["email"]})
    if not asked.is_valid():
        form.add_error("email", asked.errors["email"])
        return None
    LoginCodeVerificationProcess.initiate(request=request, user=asked._user, email=asked.cleaned_data["email"])
    return redirect(f"{reverse('account_confirm_login_code')}?{urlencode({'next': then})}")

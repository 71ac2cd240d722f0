/* Without passkeys in this browser the button leads nowhere, so it is not shown. */
const button = document.getElementById("passkey_login");
if (button && !window.PublicKeyCredential) {
  button.hidden = true;
}

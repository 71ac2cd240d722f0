/* The button is not shown where it would lead nowhere: in a browser without passkeys, and on a site that is reached by its
   number instead of a name, where browsers give out none. */
const button = document.getElementById("passkey_login");
const byNumber = /^[\d.]+$|:/.test(window.location.hostname);
if (button && (!window.PublicKeyCredential || byNumber)) {
  button.hidden = true;
}

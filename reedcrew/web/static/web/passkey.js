/* The offer is not shown where it would lead nowhere: in a browser without passkeys, and on a site that is reached by its
   number instead of a name, where browsers give out none. */
const offer = document.getElementById("passkey_offer");
const byNumber = /^[\d.]+$|:/.test(window.location.hostname);
if (offer && (!window.PublicKeyCredential || byNumber)) {
  offer.hidden = true;
}

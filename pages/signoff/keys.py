"""Signing keys: create one, enrol its public part, withdraw it."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import ASSESSOR, FACILITATOR, OWNER, REVIEWER, Person
from checks.signoff import keys, signatures
from checks.state.live import Live, State
from checks.state.owner_records import Key
from pages.presentation.wording import escaped
from pages.ui import frame, state, tables
from pages.ui.forms import Form, Told, days


def draw(live: Live, current: State, person: Person) -> None:
    """Draw the enrolled keys and what this person may do with them, and a hint about the key that signed last here."""
    if hint := state.get("key hint"):
        st.info(f"{hint}.")
    folded = st.expander("Signing keys", key="keys", on_change="rerun")
    if not folded.open:
        return
    with folded:
        if current.records.keys:
            rows = [
                {
                    "Key": key.id,
                    "Holder": key.name,
                    "Signs as": ", ".join(key.roles),
                    "Enrolled": f"{key.cause.day} by {key.cause.by or 'somebody'}",
                    "Withdrawn from": key.withdrawn,
                    "Reason": key.why,
                }
                for key in current.records.keys.values()
            ]
            tables.table(rows, key="key_list", alt="Signing keys")
            if person.may("enrol or withdraw a key"):
                _similar_names(current)
        else:
            st.caption(
                "No key is enrolled yet. Each signer creates a key; the asset owner (duty holder) enrols its public line."
            )
        left, right = st.columns(2, gap="large")
        with left:
            _create()
        with right:
            if person.may("enrol or withdraw a key"):
                _enrol(live)
                _withdraw(live, current)
                _link(live, current)
            else:
                st.caption("The asset owner (duty holder) enrols and withdraws keys.")


def _link(live: Live, current: State) -> None:
    """Draw the names that were linked, and the form that links one."""
    st.markdown("**Link an earlier name**")
    if current.records.linked_names:
        st.markdown(
            "\n".join(f"- {escaped(name)} was {escaped(earlier)}" for name, earlier in current.records.linked_names)
        )
    form = Form("link")
    with form.fields():
        st.text_input("Present name", key=form.key("name"), max_chars=200)
        st.text_input("Earlier name, as it is on record", key=form.key("earlier"), max_chars=200)
        st.text_input("How this is known", key=form.key("reason"), max_chars=2000)
        form.button(
            "Link the names",
            lambda fields: keys.link_names(live, state.person(), **fields),
            "The names are linked: what was done under either counts for both.",
        )


def _similar_names(current: State) -> None:
    """Note on key holders whose name reads like that of somebody else in this plant."""
    for holder, others in keys.similar_holders(current).items():
        st.warning(
            f"The key holder {escaped(holder)} reads like {escaped(', '.join(others))} of this plant. Is that the same person? "
            "Then withdraw the key: a signer takes no part in the work, and signs under one name."
        )


def _create() -> None:
    st.markdown("**Create a key**")
    form = Form("make")
    with form.fields():
        st.text_input("Passphrase, at least 12 characters", key=form.key("phrase"), type="password")
        st.text_input("Repeat the passphrase", key=form.key("again"), type="password")
        form.button("Create a key", _created, "Key created: download its file below.")
    key = state.get("new_key")
    if key is not None:
        st.markdown("Keep the file and the passphrase safe: they cannot be recovered. This program stores neither.")
        frame.download(
            "Download your key file",
            lambda: key.file,
            file_name=f"key-{key.id}.pem",
            mime="application/x-pem-file",
        )
        st.markdown("The asset owner enrols this line:")
        st.code(key.public, language=None, wrap_lines=True)


def _created(fields: Told) -> None:
    if fields["phrase"] != fields["again"]:
        raise signatures.KeyRefused("the two passphrases differ, no key was created", "type the same passphrase twice")
    state.put("new_key", signatures.make(fields["phrase"]))
    state.put("key hint", "")


def _enrol(live: Live) -> None:
    st.markdown("**Enrol a key**")
    form = Form("enrol")
    with form.fields():
        st.text_area("Public line of the key", key=form.key("public"), max_chars=2000, height=68)
        st.text_input("Key holder", key=form.key("name"), max_chars=200)
        st.multiselect(
            "Signs as",
            [ASSESSOR, REVIEWER, FACILITATOR, OWNER],
            key=form.key("roles"),
            help="Assessor and reviewer sign the halves. Any key signs an export on the command line; that of a server signs what it hands out.",
        )
        form.button("Enrol", lambda fields: keys.enrol(live, state.person(), **fields), "The key is enrolled.")


def _withdraw(live: Live, current: State) -> None:
    labels = {key.id: _label(key) for key in current.records.keys.values()}
    if not labels:
        return
    st.markdown("**Withdraw a key**")
    st.caption("If a key was lost earlier than first recorded, withdraw it again from the earlier day.")
    form = Form("withdraw")
    with form.fields():
        st.selectbox("Key", list(labels), key=form.key("key", labels), format_func=labels.__getitem__)
        st.date_input("Withdrawn from", value=current.day, key=form.key("from_day"), format="YYYY-MM-DD")
        st.text_input("Reason", key=form.key("reason"), max_chars=2000)
        form.button(
            "Withdraw",
            lambda fields: keys.withdraw(live, state.person(), **days(fields, "from_day")),
            "The key is withdrawn.",
        )


def _label(key: Key) -> str:
    return f"{key.id} {key.name}" + (f", withdrawn from {key.withdrawn}" if key.withdrawn else "")

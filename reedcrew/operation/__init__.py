"""What whoever runs the installation needs: probes, metrics, backups, and one page that says what is wrong."""

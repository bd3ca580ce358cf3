"""How everything looks: themes, their templates, fonts and charts."""
